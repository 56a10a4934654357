"""What a visit's films show together, in words."""

from collections.abc import Sequence

from bitewright.mouth.numbering import Side
from bitewright.quality.questions import plain_question, questions
from bitewright.quality.views import View
from bitewright.quality.wanted import wanted
from bitewright.visit.ledger import Ledger, LedgerRow, Reading
from bitewright.visit.sites import CREST, bitewing_views
from bitewright.words.landmarks import landmark_title
from bitewright.words.phrases import listed

READINGS = {
    Reading.READABLE: "readable",
    Reading.DOUBTFUL: "doubtful",
    Reading.NOT_MARKED: "not marked",
    Reading.HIDDEN: "hidden",
    Reading.OFF: "off the image",
    Reading.NOT_TAKEN: "not taken",
}
READING_SIGNS = {
    Reading.READABLE: "=",
    Reading.DOUBTFUL: "~",
    Reading.NOT_MARKED: "?",
    Reading.HIDDEN: "x",
    Reading.OFF: "-",
    Reading.NOT_TAKEN: ".",
}
READING_MEANS = {
    Reading.READABLE: "on a film, and nothing that matters lies over it",
    Reading.DOUBTFUL: "the marks leave it open",
    Reading.NOT_MARKED: "a film may show it; nobody marked it",
    Reading.HIDDEN: "overlapped too far, or covered",
    Reading.OFF: "beyond the edge of the image",
    Reading.NOT_TAKEN: "no film was taken for it",
}
CHART_NOTE = (
    "Framed dark: what the question needs. Small boxes on the roots' side: the bone crest. Dashed: "
    "a tooth said to be missing."
)


def told_words(reading: Reading, chance: float | None) -> str:
    """What is said of a place, with the chance where it is doubtful."""
    if reading is Reading.DOUBTFUL and chance is not None:
        return f"{READINGS[reading]} {chance:.0%}"
    return READINGS[reading]


def set_aside_words(film: str, why: str) -> str:
    """That a film counts in no ledger, and why."""
    return f"Set aside: {film}. {why}"


def ledger_words(of: Ledger) -> tuple[str, ...]:
    """What the films show together of what is needed, the answer first, a sentence each."""
    purpose = questions()[plain_question(of.question)].title
    tried = of.needed(Reading.HIDDEN, Reading.OFF)
    never = never_taken_words(of)
    doubtful = doubtful_words(of)
    unmarked = of.needed(Reading.NOT_MARKED)
    said = []
    if tried:
        said.append(f"No film shows what {purpose} needs at {places_words(tried)}.")
    if never:
        said.append(f"No film was taken for {never}.")
    if doubtful:
        said.append(f"Doubtful, with the chance that it can be read: {doubtful}.")
    if unmarked:
        said.append(
            f"Not marked, so not known: {places_words(unmarked)}. Mark {it_or_them(unmarked)} "
            "before anything is decided."
        )
        said.extend(marked_in_vain_words(unmarked))
    if not said:
        said.append(f"These films show all that {purpose} needs here.")
    elif not of.unread and not unmarked:
        said.insert(0, f"No place that {purpose} needs is unread for certain.")
    read = len(of.needed(Reading.READABLE))
    said.append(f"{read} of {len(of.needed())} places that are needed can be read.")
    return tuple(said)


def marked_in_vain_words(unmarked: Sequence[LedgerRow]) -> tuple[str, ...]:
    """Which of some unmarked places a film that they are marked on does not show."""
    tried = [row for row in unmarked if any(cell.reading in HIDES for cell in row.cells)]
    if not tried:
        return ()
    return (f"The other films do not show {places_words(tried)}.",)


HIDES = frozenset({Reading.HIDDEN, Reading.OFF})


def doubtful_words(of: Ledger) -> str:
    """What the question needs and the marks leave open, with its chance to be read."""
    rows = of.needed(Reading.DOUBTFUL)
    return ", ".join(f"{landmark_title(row.name)} ({row.chance:.0%})" for row in rows)


def it_or_them(rows: Sequence[LedgerRow]) -> str:
    """The pronoun of some places."""
    return "it" if len(rows) == 1 else "them"


def unread_words(of: Ledger) -> str:
    """All that the question needs and nothing shows: places by name, whole views as such."""
    never = never_taken_words(of)
    parts = (
        places_words(of.needed(Reading.HIDDEN, Reading.OFF)),
        f"all that a film of {never} would show" if never else "",
    )
    return listed([each for each in parts if each])


def never_taken_words(of: Ledger) -> str:
    """What no film was taken for: a side, a view, or places by name where they are few."""
    said = []
    for side in of.sides:
        rows = [row for row in of.needed(Reading.NOT_TAKEN) if _side(row) is side]
        if not rows:
            continue
        count = f"{len(rows)} places that are needed" if len(rows) > 1 else "a place that is needed"
        whole = [each for each in bitewing_views((side,)) if _asks_for(each, rows, of)]
        if all(film.view.region.side is not side for film in of.films):
            said.append(f"the {side.value} side ({count})")
        elif whole and len(rows) > FEW:
            said.append(f"the {whole[0].title} view ({count})")
        else:
            said.extend(landmark_title(row.name) for row in rows)
    return listed(said)


FEW = 2
"""So many places of a view that was not taken are named one by one. Our choice."""


def _side(row: LedgerRow) -> Side:
    return Side.RIGHT if row.name[0] in "14" else Side.LEFT


def _asks_for(view: View, rows: Sequence[LedgerRow], of: Ledger) -> bool:
    teeth = {int(row.name[:2]) for row in of.rows}
    return {row.name for row in rows} <= set(wanted(view, teeth, of.closed).names)


def places_words(rows: Sequence[LedgerRow]) -> str:
    """Surfaces and crests in few words, a contact's two sides each for itself."""
    surfaces = [landmark_title(row.name) for row in rows if not row.name.endswith(CREST)]
    crests = [landmark_title(row.name) for row in rows if row.name.endswith(CREST)]
    return ", ".join(surfaces + crests)


def visit_heading(patient: str | None, taken_on: str | None) -> str:
    """Whose films they are and of which day, as far as their marks say."""
    if patient is None and taken_on is None:
        return "Films given as one visit: their marks say neither patient nor day"
    said = [f"Patient {patient}"] if patient else ["A patient whom no marks name"]
    return ", ".join([*said, taken_on or "a day that no marks say"])


__all__ = [
    "CHART_NOTE",
    "READINGS",
    "READING_MEANS",
    "READING_SIGNS",
    "doubtful_words",
    "it_or_them",
    "ledger_words",
    "never_taken_words",
    "places_words",
    "set_aside_words",
    "told_words",
    "unread_words",
    "visit_heading",
]
