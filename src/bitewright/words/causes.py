"""Causes in words, what said so, and how to tell in the mouth what a film cannot split."""

from collections.abc import Collection, Sequence

from bitewright.explanation.correction import Cause, CauseName, Estimated
from bitewright.explanation.film_pattern import FilmPattern
from bitewright.words.film_signs import (
    closure_signs,
    forward_signs,
    height_signs,
    swing_signs,
    vertical_signs,
)
from bitewright.words.movements import at_least, interval, with_unit

SAID = {
    CauseName.TUBE_TOO_FAR_FORWARD: "the tube stood {size}too far towards the front of the mouth",
    CauseName.TUBE_TOO_FAR_BACK: "the tube stood {size}too far towards the back of the mouth",
    CauseName.TUBE_TOO_HIGH: "the tube pointed down {size}too much",
    CauseName.TUBE_TOO_LOW: "the tube pointed down {size}too little",
    CauseName.RECEPTOR_TOO_FAR_FORWARD: "the receptor lay {size}too far to the front",
    CauseName.RECEPTOR_TOO_FAR_BACK: "the receptor lay {size}too far to the back",
    CauseName.RECEPTOR_TOO_HIGH: "the receptor stood {size}too high against the teeth",
    CauseName.RECEPTOR_TOO_LOW: "the receptor stood {size}too low against the teeth",
    CauseName.RECEPTOR_ROLLED_FRONT_DOWN: "the receptor's front edge dipped{by}",
    CauseName.RECEPTOR_ROLLED_FRONT_UP: "the receptor's front edge stood up{by}",
    CauseName.NOT_CLOSED: "the teeth stayed {size}further off the bite block than the best "
    "exposure leaves them",
    CauseName.NONE: "receptor and tube were where they should be",
}
TWINS = {
    CauseName.TUBE_TOO_FAR_FORWARD: "the receptor's front end was turned {that}too far towards "
    "the opposite canine{ring}",
    CauseName.TUBE_TOO_FAR_BACK: "the receptor's front end was turned {that}too far towards "
    "the teeth{ring}",
    CauseName.TUBE_TOO_HIGH: "the receptor's upper edge leaned {that}too far to the midline{ring}",
    CauseName.TUBE_TOO_LOW: "the receptor's upper edge leaned {that}too far to the teeth{ring}",
}
"""What a film cannot tell from each."""

_RING = ", its ring and the tube with it"

# How to tell in the mouth: common practice, no source.
TELL_SWING_BY_RING = (
    "Whether it was the tube or the receptor, geometry alone cannot tell; the mouth can: look from "
    "above, before exposing. A gap between rim and ring at the front or at the back: the tube was "
    "swung off its ring{tube}. Rim and ring flush, but the ring not parallel to the row of teeth "
    "and the bite block at an angle on them: the receptor was turned{receptor}"
)
SWING_TUBE = ", so the tube is what has to move"
SWING_RECEPTOR = ", so turn receptor and ring back and leave the tube in its ring"
TELL_SWING_BY_EYE = (
    "Whether it was the tube or the receptor, geometry alone cannot tell; the mouth can: look from "
    "above, before exposing. If the receptor lies along the teeth, the tube was off; if it lies at "
    "an angle to them, the receptor was turned{receptor}"
)
SWING_BY_EYE = ": set it straight first and then aim the tube through the contacts"
TELL_VERTICAL_BY_RING = (
    "Whether the tube was tipped or the receptor, geometry alone cannot tell: look from the front "
    "at the height of the bite. A gap between rim and ring above or below: the tube was tipped off "
    "its ring. Rim and ring flush, but both leaning, and the bite block not flat between the "
    "teeth: the receptor was tilted{receptor}"
)
VERTICAL_RECEPTOR = ", so seat it upright and have the teeth close on the block again"
TELL_VERTICAL_BY_EYE = (
    "Whether the tube was tipped or the receptor, geometry alone cannot tell: look from the front "
    "at the height of the bite. If the receptor stands upright, the tube was tipped; if it leans, "
    "the receptor was tilted{receptor}"
)
VERTICAL_BY_EYE = ": seat it upright before aiming"
RIM_FLUSH = "The rim stood flush with its ring, so the receptor was off and took the tube along"
RIM_OFF = "The rim did not stand flush with its ring, so the tube was off and not the receptor"
NO_GAP = (
    "No gap between rim and ring was seen {where}, so the receptor was off and took the tube along"
)
GAP = "A gap between rim and ring was seen {where}, so the tube was off and not the receptor"
ALONG, ABOVE = "at the front or the back", "above or below"
PRACTICE = "(common practice, no source)"

_HORIZONTAL = (CauseName.TUBE_TOO_FAR_FORWARD, CauseName.TUBE_TOO_FAR_BACK)
_VERTICAL = (CauseName.TUBE_TOO_HIGH, CauseName.TUBE_TOO_LOW)


def cause_words(
    cause: Cause, *, ring: bool = True, rim_flush: bool | None = None, how_far: bool = True
) -> str:
    """A cause with its size, and its twin that no film can tell from it; no full stop.

    Parameters
    ----------
    cause : Cause
    ring : bool
        Whether the holder has a ring that guides the tube.
    rim_flush : bool, optional
        Whether the rim stood flush with its ring, which tells the twins apart, if it is known.
    how_far : bool
        Whether to say its size.
    """
    size = at_least(cause.size, cause.unit)
    words = SAID[cause.name].format(
        size=f"{size} " if how_far else "", by=f" by {size}" if how_far else ""
    )
    twin = TWINS.get(cause.name)
    if twin is None or (ring and rim_flush is False):
        return words
    said = twin.format(
        that="" if not how_far else f"{size} " if ring and rim_flush else "that much ",
        ring=_RING if ring else "",
    )
    return said if ring and rim_flush else f"{words}, or {said}"


PERHAPS = "perhaps "
BESIDE_OR_INSTEAD = "perhaps, beside it or in its place: "
PERHAPS_IN_ITS_PLACE = "or in its place, perhaps: "


def introduced(
    causes: Sequence[Cause], *, how_far: bool, needed: Collection[CauseName]
) -> list[tuple[str, Cause, bool]]:
    """Each of the likely causes with what is said before it, and whether its size is told.

    Of two that are not told apart the table has the first one's size alone. ``needed``: causes
    whose movement is told as needed; of the others each is perhaps.
    """
    other = next((each for each in causes if each.is_alternative), None)
    said = []
    for cause in causes:
        if cause is other:
            opening = BESIDE_OR_INSTEAD if causes[0].name in needed else PERHAPS_IN_ITS_PLACE
        else:
            sure = cause.name in needed and cause.size.low > 0.0
            opening = "" if sure else PERHAPS
        said.append((opening, cause, how_far and cause is not other))
    return said


def sized_cause_words(
    cause: Cause, *, ring: bool = True, rim_flush: bool | None = None, how_far: bool = True
) -> str:
    """As `cause_words`, with the interval of its size.

    A cause's interval ends at nought where its movement's reaches the other way or is told from
    nought on: then no lower end is told, for the table of movements may have another.
    """
    words = cause_words(cause, ring=ring, rim_flush=rim_flush, how_far=how_far)
    within = interval(cause.size, cause.unit) if how_far else ""
    if within.startswith("0 to "):
        return f"{words} (90%: perhaps none, at most {within.rpartition(' to ')[2]})"
    return f"{words} (90% between {within.replace(' to ', ' and ')})" if within else words


def signs_of(cause: Cause, pattern: FilmPattern) -> str:
    """What in the film says so; nothing where nothing stands out."""
    name = cause.name
    if name in _HORIZONTAL:
        forward = name is CauseName.TUBE_TOO_FAR_FORWARD
        return swing_signs(pattern, tube_forward=forward)
    if name in _VERTICAL:
        return vertical_signs(pattern, tube_up=name is CauseName.TUBE_TOO_HIGH)
    if name in (CauseName.RECEPTOR_TOO_FAR_FORWARD, CauseName.RECEPTOR_TOO_FAR_BACK):
        forward = name is CauseName.RECEPTOR_TOO_FAR_FORWARD
        return forward_signs(pattern, receptor_forward=forward)
    if name in (CauseName.RECEPTOR_TOO_HIGH, CauseName.RECEPTOR_TOO_LOW):
        return height_signs(pattern, receptor_up=name is CauseName.RECEPTOR_TOO_HIGH)
    return closure_signs(pattern) if name is CauseName.NOT_CLOSED else ""


def how_to_tell(
    cause: Cause,
    *,
    ring: bool = True,
    rim_flush: bool | None = None,
    by_gap: bool = False,
    meant: str = "",
    acts: bool = True,
) -> str:
    """How to tell in the mouth what the film cannot split; nothing where it can.

    Parameters
    ----------
    cause : Cause
    ring : bool
        Whether the holder has a ring that guides the tube.
    rim_flush : bool, optional
        Whether the rim stood flush with its ring, if it is known: then nothing is left to tell.
    by_gap : bool
        Whether that is known by a gap that was looked for, this cause's way alone.
    meant : str
        As `leaves_the_ring`.
    acts : bool
        Whether something may have to move: else what it was is told, and not what to do.
    """
    if ring and rim_flush is not None and cause.name in (*_HORIZONTAL, *_VERTICAL):
        if by_gap:
            where = ALONG if cause.name in _HORIZONTAL else ABOVE
            return (NO_GAP if rim_flush else GAP).format(where=where)
        return RIM_FLUSH if rim_flush else RIM_OFF
    if cause.name in _HORIZONTAL:
        tell = TELL_SWING_BY_RING if ring else TELL_SWING_BY_EYE
        receptor = SWING_RECEPTOR if ring else SWING_BY_EYE
        said = _told(tell, SWING_TUBE, receptor, acts=acts)
        return f"{said}. {meant}" if ring and meant else said
    if cause.name in _VERTICAL:
        tell = TELL_VERTICAL_BY_RING if ring else TELL_VERTICAL_BY_EYE
        return _told(tell, "", VERTICAL_RECEPTOR if ring else VERTICAL_BY_EYE, acts=acts)
    return _MEND.get(cause.name, "")


def _told(tell: str, tube: str, receptor: str, *, acts: bool) -> str:
    """How to tell, with what follows from either where something may have to move."""
    said = tell.format(tube=tube if acts else "", receptor=receptor if acts else "")
    return f"{said} {PRACTICE}"


def leaves_the_ring(told_deg: float | None, best: Estimated | None) -> str:
    """That rim and ring are not meant to be flush, and by how much; empty where they are.

    Parameters
    ----------
    told_deg : float or None
        `ring_offset_deg` of the set-up that is told, where one is. [deg]
    best : Estimated or None
        That of the best exposure, else; told only where its whole interval leaves the ring. [deg]
    """
    if told_deg is not None:
        what, offset, within = "set-up", told_deg, ""
        leaves = abs(told_deg) >= FLUSH_DEG
    elif best is not None:
        what, offset, within = "best aim", best.value, interval(best, "deg")
        leaves = best.beyond(FLUSH_DEG)
    else:
        return ""
    if not leaves:
        return ""
    way = "front" if offset > 0 else "back"
    angle = with_unit(offset, "deg") + (f" ({within})" if within else "")
    return (
        f"The {what} itself leaves the ring, by {angle} towards the {way} of the mouth, so a gap "
        "of that much is meant"
    )


def tell_apart(cause: Cause, other: Cause, *, ring: bool = True) -> str:
    """How to tell in the mouth which of two causes it was that the film does not tell apart.

    Nothing where both are the tube's: how to see that stands with each.
    """
    tubes = sum(each.name in (*_HORIZONTAL, *_VERTICAL) for each in (cause, other))
    if tubes == 2:
        return ""
    if CauseName.NOT_CLOSED in (cause.name, other.name):
        return f"{TELL_BITE} {PRACTICE}"
    if tubes == 0:
        return f"{TELL_EDGES} {PRACTICE}"
    return f"{TELL_TUBE_BY_RING if ring else TELL_TUBE_BY_EYE} {PRACTICE}"


TELL_EDGES = (
    "Which it was, the mouth tells: look where the receptor's edges lie against the teeth, and "
    "whether they close on the bite block"
)
TELL_BITE = (
    "Which it was, the mouth tells: look whether the teeth touch the bite block above and below; a "
    "gap between them says that they did not close on it"
)
TELL_TUBE_BY_RING = (
    "Which it was, the mouth tells: the rim flush with its ring and the bite block flat "
    "between the teeth speak against the tube, the receptor's edges where the set-up has them "
    "speak for it"
)
TELL_TUBE_BY_EYE = (
    "Which it was, the mouth tells: the receptor's edges where the set-up has them "
    "speak for the tube, edges that lie elsewhere against it"
)

FLUSH_DEG = 4.0
"""Within this a rim looks flush with its ring. Our choice."""

_MEND = {
    CauseName.RECEPTOR_ROLLED_FRONT_DOWN: "Watch that the bite block lies flat along the teeth "
    f"from its front to its back edge while the patient closes {PRACTICE}",
    CauseName.RECEPTOR_ROLLED_FRONT_UP: "Watch that the bite block lies flat along the teeth from "
    f"its front to its back edge while the patient closes {PRACTICE}",
    CauseName.NOT_CLOSED: "Where the patient cannot close, seat a rigid receptor nearer the "
    "midline, where palate and floor are deeper, or take a smaller one, and have the teeth close "
    f"slowly {PRACTICE}",
}

__all__ = [
    "PERHAPS",
    "PRACTICE",
    "cause_words",
    "how_to_tell",
    "introduced",
    "leaves_the_ring",
    "signs_of",
    "sized_cause_words",
    "tell_apart",
]
