"""What can be asked of one film where the answer leaves no doubt: overlap, surface, front."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.marking.visible_places import seen_off_mm
from bitewright.quality.criteria import overlap_limits
from bitewright.quality.predicted import Prediction
from bitewright.quality.rating import ContactState
from bitewright.quality.wanted import edges

LETTERS = "ABC"
FEWEST_LETTERS = 2
OVERLAPS_MM = 0.3
"""Overlap that nobody overlooks. Our choice. [mm]"""

CLEAR_MM = 0.05
"""A contact this near to a limit, on either side, is not asked about. Our choice. [mm]"""

OPEN_MM = overlap_limits().open_mm - CLEAR_MM
"""The most overlap with which a contact is asked about as open. [mm]"""

WELL_INSIDE_MM = 1.5
"""A marked place lies at least this far inside film and beam. Our choice. [mm]"""


INTO_TOOTH_MM = 1.1
"""So far inside its own tooth stands the letter of a surface: as far as its ring is wide, so that
the ring lies on that tooth alone and touches the surface. Our choice. [mm]"""


class ReadQuestion(StrEnum):
    """What is asked of a film."""

    OVERLAP = "overlap"
    SURFACE = "surface"
    FRONT = "front"


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmReading:
    """A question about one film.

    Parameters
    ----------
    asks : ReadQuestion
    places_mm : mapping of letter to (u, v)
        Where letters stand, on the receptor from its middle. [mm]
    choices : tuple of str
        Letters and "none"; surfaces such as "15.distal"; "left" and "right".
    right : int
        Which of them is right.
    names : tuple of str
        What the letters stand at.
    """

    asks: ReadQuestion
    places_mm: dict[str, tuple[float, float]]
    choices: tuple[str, ...]
    right: int
    names: tuple[str, ...]


def reading_of(
    prediction: Prediction, asks: ReadQuestion, generator: np.random.Generator
) -> FilmReading | None:
    """A question about a predicted film, None if it gives none without doubt."""
    if asks is ReadQuestion.OVERLAP:
        return _overlap(prediction, generator)
    if asks is ReadQuestion.SURFACE:
        return _surface(prediction, generator)
    is_right = prediction.landmarks.front_sign > 0.0
    return FilmReading(
        asks=asks, places_mm={}, choices=("left", "right"), right=int(is_right), names=()
    )


def _overlap(prediction: Prediction, generator: np.random.Generator) -> FilmReading | None:
    """Two or three contacts with letters, one of them overlapped at most."""
    measured, states = prediction.measurements, prediction.rating.states[0]
    found: dict[bool, list[tuple[str, tuple[float, float]]]] = {True: [], False: []}
    for pair, overlap, state in zip(
        measured.wanted.contacts, measured.overlap_mm[0], states, strict=True
    ):
        places = [_place(prediction.landmarks, name) for name in edges(pair)]
        if None in places:
            continue
        middle = np.mean([each for each in places if each is not None], axis=0)
        named = (f"{pair[0]}-{pair[1]}", (float(middle[0]), float(middle[1])))
        if overlap >= OVERLAPS_MM:
            found[True].append(named)
        elif overlap <= OPEN_MM and state == ContactState.OPEN:
            found[False].append(named)
    overlapped = 1 if found[True] and generator.random() < 0.8 else 0
    shown = [found[True][k] for k in generator.permutation(len(found[True]))[:overlapped]]
    rest = generator.permutation(len(found[False]))[: len(LETTERS) - overlapped]
    shown += [found[False][k] for k in rest]
    if len(shown) < FEWEST_LETTERS:
        return None
    order = generator.permutation(len(shown))
    shown_in_order = [shown[k] for k in order]
    letters = LETTERS[: len(shown)]
    right = int(np.flatnonzero(order == 0)[0]) if overlapped else len(letters)
    return FilmReading(
        asks=ReadQuestion.OVERLAP,
        places_mm={letter: each[1] for letter, each in zip(letters, shown_in_order, strict=True)},
        choices=(*letters, "none"),
        right=right,
        names=tuple(name for name, _ in shown_in_order),
    )


def _surface(prediction: Prediction, generator: np.random.Generator) -> FilmReading | None:
    """One surface with a letter on its tooth; its tooth's and a neighbour's are the choices.

    The neighbour is the one that it faces, or the one on its tooth's other side where a contact of
    the view is there: each half of the time, so that facing the neighbour tells nothing.
    """
    facing = {
        name: other
        for pair in prediction.measurements.wanted.contacts
        for name, other in zip(edges(pair), edges(pair)[::-1], strict=True)
    }
    known = [(name, place) for name in facing if (place := _place(prediction.landmarks, name))]
    if not known:
        return None
    name, place = known[int(generator.integers(len(known)))]
    inner = [each for each, _ in known if _other_side(each) in facing]
    goes_beyond = generator.random() < 0.5 * len(known) / max(len(inner), 1)
    neighbour = facing[_other_side(name) if name in inner and goes_beyond else name]
    to_back = -1.0 if prediction.landmarks.front_sign > 0.0 else 1.0
    into = to_back if name.endswith("mesial") else -to_back
    place = (place[0] + INTO_TOOTH_MM * into, place[1])
    offered = (name, _other_side(name), neighbour, _other_side(neighbour))
    choices = [offered[k] for k in generator.permutation(len(offered))]
    return FilmReading(
        asks=ReadQuestion.SURFACE,
        places_mm={LETTERS[0]: place},
        choices=tuple(choices),
        right=choices.index(name),
        names=(name,),
    )


def _other_side(name: str) -> str:
    """The other approximal surface of the same tooth: "15.distal" of "15.mesial"."""
    code, surface = name.split(".")
    return f"{code}.{'distal' if surface == 'mesial' else 'mesial'}"


def _place(landmarks: Landmarks, name: str) -> tuple[float, float] | None:
    """Where an eye sees a surface, if it lies well inside film and beam."""
    frame, beam = landmarks.margins(name)
    if int(landmarks.status_of(name)[0]) != Status.SEEN:
        return None
    if min(float(frame[0]), float(beam[0])) < WELL_INSIDE_MM:
        return None
    u, v = landmarks.points(name)[0] + seen_off_mm((name,), landmarks.front_sign)[0]
    return float(u), float(v)


__all__ = [
    "CLEAR_MM",
    "INTO_TOOTH_MM",
    "LETTERS",
    "OPEN_MM",
    "OVERLAPS_MM",
    "FilmReading",
    "ReadQuestion",
    "reading_of",
]
