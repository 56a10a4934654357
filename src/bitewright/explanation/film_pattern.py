"""What in a film says which way an exposure was off: overlaps, cusps, edges, level.

Measured on the film's own marks and set against the best exposure of the estimated mouth, so that a
teacher can point at it on the film: what was not marked says nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Landmarks
from bitewright.planning.best_aim import Plan
from bitewright.quality.measure import Measurements
from bitewright.quality.predicted import asked, predict

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactPattern:
    """One contact of the view, as marked against the best exposure.

    Parameters
    ----------
    name : str
        ISO 3950 codes, nearer the midline first.
    overlap_mm, best_overlap_mm : float
        Overlap at the contact as marked, and with the best exposure. [mm]
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
    teeth_apart_mm, best_teeth_apart_mm : float
        How far the teeth measure off the bite block, and with the best exposure; nought where
        that is not known. [mm]
    """

    contacts: tuple[ContactPattern, ...]
    buccal_forward_mm: float
    buccal_down_mm: float
    teeth_forward_mm: float
    bite_down_mm: float
    teeth_apart_mm: float = 0.0
    best_teeth_apart_mm: float = 0.0

    @property
    def grown(self) -> tuple[ContactPattern, ...]:
        """Contacts with noticeably more overlap than the best exposure's, first the most."""
        more = (contact for contact in self.contacts if contact.more_mm > MORE_OVERLAP_MM)
        return tuple(sorted(more, key=lambda contact: -contact.more_mm))


def film_pattern(marked: Landmarks, measured: Measurements, plan: Plan) -> FilmPattern:
    """What a film shows otherwise than the plan's would.

    Our model: differences between the film as marked and the predicted one, each measured as any
    film is.

    Parameters
    ----------
    marked : Landmarks
        Of one film.
    measured : Measurements
        The same film's.
    plan : Plan
        The best exposure of the same view.
    """
    best = predict(plan.exposure, asked(plan.view, plan.station))
    wanted = best.measurements.wanted.contacts
    best_mm = dict(zip(wanted, best.measurements.overlap_mm[0], strict=True))
    marked_mm = zip(measured.wanted.contacts, measured.overlap_mm[0], strict=True)
    cusps = [_buccal_shift(each) for each in (marked, best.landmarks)]
    places = [_places(each, ".cej") for each in (marked, best.landmarks)]
    moved, shift = _mean_difference(*places), _mean_difference(*cusps)
    bites = [float(each.occlusal_offset_mm[0]) for each in (measured, best.measurements)]
    teeth_apart_mm, best_teeth_apart_mm = (
        float(np.nan_to_num(each.closure_mm[0])) for each in (measured, best.measurements)
    )
    return FilmPattern(
        contacts=tuple(
            ContactPattern(
                name=f"{pair[0]}-{pair[1]}",
                overlap_mm=float(overlap),
                best_overlap_mm=float(best_mm[pair]),
            )
            for pair, overlap in marked_mm
            if pair in best_mm and np.isfinite(overlap)
        ),
        buccal_forward_mm=shift[0],
        buccal_down_mm=shift[1],
        teeth_forward_mm=moved[0],
        bite_down_mm=float(np.nan_to_num(bites[0] - bites[1])),
        teeth_apart_mm=teeth_apart_mm,
        best_teeth_apart_mm=best_teeth_apart_mm,
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
