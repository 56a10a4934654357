"""Proposed marks, in words: what was proposed, what is doubtful, why nothing was."""

from bitewright.proposing.proposals import MarkDoubt
from bitewright.proposing.refusals import FilmDoubt, Refusal
from bitewright.words.phrases import are, counted, noun

REFUSAL_WORDS = {
    Refusal.EMPTY: "Nothing is proposed: the picture is empty.",
    Refusal.TOO_SMALL: "Nothing is proposed: the picture is too small to show a row of teeth; "
    "check its pixel size.",
    Refusal.NOT_ONE_FILM: "Nothing is proposed: the picture is more than twice as long as it is "
    "wide, as no bitewing is, or shows several films; cut out one film.",
    Refusal.NO_BITEWING: "Nothing is proposed: this does not look like a bitewing.",
    Refusal.NOT_UPRIGHT: "Nothing is proposed: the picture looks upside down or turned on its "
    "side; turn it so that the upper teeth are at the top.",
    Refusal.FEW_CONTACTS: "Nothing is proposed: fewer than two contacts were found.",
    Refusal.OTHER_SIDE: "Nothing is proposed: the front of the mouth lies at the other end than "
    "on a film of the side that is stated; say the other side, or that it is mounted mirrored.",
}
DOUBT_WORDS = {
    MarkDoubt.FAINT: "shown faintly",
    MarkDoubt.SAME_PLACE: "two teeth claim this place",
    MarkDoubt.OUT_OF_ORDER: "does not follow its neighbour along the row",
    MarkDoubt.NUMBERING: "the tooth may be another one",
    MarkDoubt.UNEXPLAINED: "does not fit the other marks",
    MarkDoubt.BORDER: "the film shows no border there",
    FilmDoubt.PIXEL_SIZE: "the film says no pixel size",
    FilmDoubt.SCALE: "the film's pixel size may be wrong",
    FilmDoubt.NEGATIVE: "the film is shown as its negative",
    FilmDoubt.ONE_ARCH: "no contact of one arch is marked",
}
"""Of a mark; what is doubtful about the whole film is a doubt of each of its marks."""
CANNOT_PROPOSE = (
    "Marks cannot be proposed here: `pip install 'bitewright[propose]'` brings what is missing."
)
FILM_DOUBT_WORDS = {
    FilmDoubt.PIXEL_SIZE: "The film says no pixel size, so it was taken to be of size 2: name its "
    "receptor with --receptor.",
    FilmDoubt.SCALE: "By its pixel size the picture is larger than any receptor for bitewings, or "
    "its teeth are much wider or narrower than usual: check the pixel size, and cut off what is "
    "not the film.",
    FilmDoubt.NEGATIVE: "The picture is shown as its negative, teeth dark: marks were looked for "
    "on its positive.",
    FilmDoubt.NUMBERING: "Teeth may be numbered one place off: check their numbers first.",
    FilmDoubt.ONE_ARCH: "No contact of one arch is marked: check whether the film shows that arch, "
    "and whether the marks lie on the arch that they are named for.",
    FilmDoubt.UNEXPLAINED: "No mouth and exposure explain these marks together: check that the "
    "picture shows one film, then the numbers of the teeth, then every mark.",
}
PROPOSED_BY = "Proposed by a network that was trained on simulated films alone."
LOOK_AT_EACH = "A person looks at each mark before anything is measured from it."
SUMMARY_TITLE = "Proposed marks, doubtful films first"
FILM_HEADING, VIEW_HEADING, MARKS_HEADING = "film", "view", "marks"
DOUBTFUL_HEADING, SAID_HEADING = "doubtful", "what is said"
PROPOSED_FILE = "Proposed marks"
BY_OPTION = ", or pass --confirmed once you have"


def proposed_words(count: int, doubtful: int) -> str:
    """How many marks are proposed, and how many of them must each be looked at."""
    return f"{counted(count, 'mark')} proposed, {doubtful} of them doubtful."


def other_view_words(likely: str, chosen: str) -> str:
    """That the teeth look like those of another view than the one that a person chose."""
    return f"The teeth look like a {likely} view; it stays {chosen}, as chosen: check that first."


def unconfirmed_marks(where: str, count: int, *, on_page: bool = False) -> str:
    """That marks were proposed and nobody has looked at them, and what to do."""
    return (
        f"{where}: {counted(count, 'mark')} {are(count)} proposed, not confirmed: look at "
        f"{'it' if count == 1 else 'each'} on the light box{'' if on_page else BY_OPTION}."
    )


def unconfirmed_numbers(where: str, *, on_page: bool = False) -> str:
    """That nobody has said whether proposed teeth are numbered right, and what to do."""
    return (
        f"{where}: nobody has said whether the teeth are numbered right: say so on the light box"
        f"{'' if on_page else BY_OPTION}."
    )


def no_films_words(folder: str) -> str:
    """That a folder holds no film."""
    return f"{folder} holds no film: give a folder with PNG, TIFF, JPEG or DICOM files."


def no_folder_words(folder: str) -> str:
    """That marks files cannot be written to a folder."""
    return f"{folder} is no folder that marks files can be written to: make it, or give another."


def of_films_words(films: int, marked: int) -> str:
    """On how many of the films marks are proposed."""
    return f"Marks are proposed on {marked} of {films} {noun(films, 'film')}."


__all__ = [
    "CANNOT_PROPOSE",
    "DOUBTFUL_HEADING",
    "DOUBT_WORDS",
    "FILM_DOUBT_WORDS",
    "FILM_HEADING",
    "LOOK_AT_EACH",
    "MARKS_HEADING",
    "PROPOSED_BY",
    "PROPOSED_FILE",
    "REFUSAL_WORDS",
    "SAID_HEADING",
    "SUMMARY_TITLE",
    "VIEW_HEADING",
    "no_films_words",
    "no_folder_words",
    "of_films_words",
    "other_view_words",
    "proposed_words",
    "unconfirmed_marks",
    "unconfirmed_numbers",
]
