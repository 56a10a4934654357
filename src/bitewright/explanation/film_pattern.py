"""What in a film says which way an exposure was off: overlaps, cusps, edges, level.

Worked out from the exposure as estimated against the best one, each in its own estimated mouth, so
that a teacher can point at it on the film.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.exposing.landmarks import Landmarks
from bitewright.planning.best_aim import Plan
from bitewright.quality.predicted import asked, predict

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactPattern:
    """One contact of the view, the exposure as estimated against the best one.

    Parameters
    ----------
    name : str
        ISO 3950 codes, nearer the midline first.
    overlap_mm, best_overlap_mm : float
        Overlap at the contact as estimated, and with the best exposure. [mm]
    """

    name: str
    overlap_mm: float
    best_overlap_mm: float

    @property
    def more_mm(self) -> float:
        """Overlap beyond the best exposure's; a space counts as none. [mm]"""
        return max(self.overlap_mm, 0.0) - max(self.best_overlap_mm, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmPattern:
    """What a film shows otherwise than the best exposure would.

    Parameters
    ----------
    contacts : tuple of ContactPattern
    buccal_forward_mm, buccal_down_mm : float
        Buccal cusps against lingual ones, further to the front and further down in the image than
        with the best exposure. [mm at the receptor]
    teeth_forward_mm, bite_down_mm : float
        Teeth further to the front, and the bite further down, in the image. [mm at the receptor]
    best_ring_offset_deg : float
        `ring_offset_deg` of the best exposure: not nought where the best aim leaves the ring.
    """

    contacts: tuple[ContactPattern, ...]
    buccal_forward_mm: float
    buccal_down_mm: float
    teeth_forward_mm: float
    bite_down_mm: float
    best_ring_offset_deg: float

    @property
    def grown(self) -> tuple[ContactPattern, ...]:
        """Contacts with noticeably more overlap than the best exposure's, first the most."""
        more = (contact for contact in self.contacts if contact.more_mm > MORE_OVERLAP_MM)
        return tuple(sorted(more, key=lambda contact: -contact.more_mm))


def film_pattern(present: Exposures, plan: Plan) -> FilmPattern:
    """What the exposure as estimated shows otherwise than the plan's.

    Our model: differences between the two predicted films, each measured as any film is.

    Parameters
    ----------
    present : Exposures
        One exposure, as estimated.
    plan : Plan
        The best one of the same view.
    """
    was = predict(present, asked(plan.view, present.station))
    best = predict(plan.exposure, asked(plan.view, plan.station))
    aim = [
        dict(zip(each.measurements.wanted.contacts, each.measurements.overlap_mm[0], strict=True))
        for each in (was, best)
    ]
    cusps = [_buccal_shift(each.landmarks) for each in (was, best)]
    places = [_places(each.landmarks, ".cej") for each in (was, best)]
    moved = _mean_difference(*places)
    level = [float(each.measurements.occlusal_offset_mm[0]) for each in (was, best)]
    shift = _mean_difference(*cusps)
    return FilmPattern(
        contacts=tuple(
            ContactPattern(
                name=f"{pair[0]}-{pair[1]}",
                overlap_mm=float(overlap),
                best_overlap_mm=float(aim[1][pair]),
            )
            for pair, overlap in aim[0].items()
            if pair in aim[1]
        ),
        buccal_forward_mm=shift[0],
        buccal_down_mm=shift[1],
        teeth_forward_mm=moved[0],
        bite_down_mm=level[0] - level[1],
        best_ring_offset_deg=plan.setting.ring_offset_deg,
    )


def _places(landmarks: Landmarks, ending: str) -> dict[str, Floats]:
    """Places (to the front, down) of the landmarks with an ending."""
    return {
        name: landmarks.points(name)[0] * [landmarks.front_sign, 1.0]
        for name in landmarks.names
        if name.endswith(ending)
    }


def _buccal_shift(landmarks: Landmarks) -> dict[str, Floats]:
    """Buccal cusp less lingual cusp (to the front, down) of every tooth with both."""
    tips = _places(landmarks, ".cusp")
    pairs = (("buccal", "lingual"), ("mesiobuccal", "mesiolingual"))
    return {
        code: tips[f"{code}.{buccal}.cusp"] - tips[f"{code}.{lingual}.cusp"]
        for code in sorted({name[:2] for name in tips})
        for buccal, lingual in pairs
        if f"{code}.{buccal}.cusp" in tips and f"{code}.{lingual}.cusp" in tips
    }


def _mean_difference(one: dict[str, Floats], other: dict[str, Floats]) -> tuple[float, float]:
    both = [one[name] - other[name] for name in one if name in other]
    usable = [step for step in both if np.isfinite(step).all()]
    if not usable:
        return 0.0, 0.0
    front, down = np.mean(usable, axis=0)
    return float(front), float(down)


MORE_OVERLAP_MM = 0.1
"""Overlap that grew by less is not pointed out. Our choice."""

__all__ = ["MORE_OVERLAP_MM", "ContactPattern", "FilmPattern", "film_pattern"]
