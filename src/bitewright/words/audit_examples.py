"""Example films in an audit report, in words: what is wrong with them, and whence they are."""

from collections.abc import Sequence

from bitewright.log.faults import fault_kinds
from bitewright.words.log_titles import fault_title
from bitewright.words.phrases import capital, listed, noun

EXAMPLES_HEADING = "What these faults look like"
EXAMPLES_SAY = (
    "Kept here as exercises; consent is noted, and nobody saw a name in them. What is wrong is a "
    "person's reading. They need not be among the films counted here."
)


def example_title(faults: Sequence[str]) -> str:
    """The faults that were read in a film."""
    return capital(listed([fault_title(each) for each in faults]))


def example_caption(faults: Sequence[str]) -> str:
    """What is wrong with a film, in a sentence."""
    said = [known.says for each in faults if (known := fault_kinds().get(each)) is not None]
    return f"Here {listed(said)}." if said else ""


def example_alt(faults: Sequence[str]) -> str:
    """What the picture is, for who cannot see it."""
    return f"A real film that shows {listed([fault_title(each) for each in faults])}"


def examples_shown(names: Sequence[str]) -> str:
    """Which exercises of one's own stand in the report; to be looked at before it is handed on."""
    return (
        f"Shown as {noun(len(names), 'an example', 'examples')}: {listed(names)}. Look at "
        f"{noun(len(names), 'it', 'them')} once more before you hand the report on; where consent "
        "is taken back, drop the exercise and write the report again."
    )


def none_shown(kept: int, frequent: Sequence[str]) -> str:
    """Why no example film stands in the report."""
    if not frequent:
        return "No example film is shown: no fault is noted on a rejected film."
    if not kept:
        return (
            "No example film is shown: no film of your own is kept as an exercise "
            "(`bitewright teach own keep`)."
        )
    titles = listed([fault_title(each) for each in frequent], last="or")
    if kept == 1:
        return f"No example film is shown: the film kept as an exercise is not read as {titles}."
    return f"No example film is shown: none of the {kept} kept as exercises is read as {titles}."


__all__ = [
    "EXAMPLES_HEADING",
    "EXAMPLES_SAY",
    "example_alt",
    "example_caption",
    "example_title",
    "examples_shown",
    "none_shown",
]
