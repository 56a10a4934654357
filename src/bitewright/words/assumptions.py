"""What had to be taken for granted about a film, for want of being told."""

from collections.abc import Sequence

from bitewright.words.phrases import listed

NO_RECEPTOR = "No receptor is named: the packaged one nearest in size is taken."
LEVELS_KEPT = (
    "The file's rescaling gives levels that are negative, fractional or too large, so the stored "
    "values were kept, in the same order from dark to light."
)


def other_format(title: str, *, is_upright: bool) -> str:
    """The image lies the other way than the receptor of its view; ``title``: the view's."""
    along, upright = (
        ("longer than it is tall", "along the row"),
        ("taller than it is long", "upright"),
    )
    (image, other), (_, own) = (along, upright) if is_upright else (upright, along)
    return (
        f"The image is {image}, and the receptor of a {title} view stands {own}: if it stood "
        f"{other}, name that view in the marks, for the aim is told for the view that is named."
    )


def no_holder(taken: str | None) -> str:
    """No holder was named; ``taken``: the one that the estimate takes, if it is made."""
    rest = "" if taken is None else f"; the estimate takes the {taken}"
    return f"No holder is named: the bite block's thickness and closure are not known{rest}."


def teeth_taken_to_stand(teeth: Sequence[int]) -> str:
    """Teeth that bear no mark although one behind them does: they may be missing."""
    named = listed([str(code) for code in teeth])
    said, it = (
        ("bears no mark and is", "it") if len(teeth) == 1 else ("bear no mark and are", "one")
    )
    return (
        f"{named} {said} taken to stand: if {it} is missing, say so with the marks, for then the "
        "surfaces beside the gap are needed."
    )


def too_few_marks(fewest: int) -> str:
    """Nothing is explained from so few."""
    return f"Fewer than {fewest} landmarks are marked: nothing can be said of the aim."


def together_with(films: Sequence[tuple[str, str]]) -> str:
    """Which further films, each with its view, the mouth was estimated from as well."""
    named = listed([f"{film} ({view})" for film, view in films])
    return f"The mouth is estimated from this film together with {named}."


def learned_before(films: int) -> str:
    """That earlier films' belief went in, and of how many films it is."""
    of = f"{films} earlier film{'s' if films != 1 else ''}"
    return f"The mouth is estimated from this film together with what {of} taught."


def mouth_taken_as_known(name: str) -> str:
    """Which mouth was taken as known."""
    return f"The mouth is taken as known: {name}."


__all__ = [
    "LEVELS_KEPT",
    "NO_RECEPTOR",
    "learned_before",
    "mouth_taken_as_known",
    "no_holder",
    "other_format",
    "teeth_taken_to_stand",
    "together_with",
    "too_few_marks",
]
