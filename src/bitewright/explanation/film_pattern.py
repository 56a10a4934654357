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
from bitewright.words.landmark_words import listed

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


def film_pattern(present: Exposures, plan: Plan) -> FilmPattern:
    """What the exposure as estimated shows otherwise than the plan's.

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


NOTICED_MM = 0.3
"""Shifts below this are not pointed out. Our choice."""

MORE_OVERLAP_MM = 0.1
"""Nor is overlap that grew by less."""


def swing_signs(pattern: FilmPattern, *, tube_forward: bool) -> str:
    """What a tube too far to the front (or back) left in the film, or nothing."""
    signs = []
    grown = [contact for contact in pattern.contacts if contact.more_mm > MORE_OVERLAP_MM]
    if grown:
        widest = sorted(grown, key=lambda contact: -contact.more_mm)[:3]
        shown = [
            f"{each.name} ({_overlap(each.overlap_mm)} mm where the best exposure leaves "
            f"{_overlap(each.best_overlap_mm)})"
            for each in widest
        ]
        signs.append(f"the overlap at {listed(shown)}")
    # A tube further forward throws what lies nearer to it, the buccal cusps, further back.
    shift = -pattern.buccal_forward_mm if tube_forward else pattern.buccal_forward_mm
    if shift > NOTICED_MM:
        way = "back" if tube_forward else "front"
        signs.append(
            f"the buccal cusps, {shift:.1f} mm further to the {way} in the image against the "
            "lingual ones"
        )
    return listed(signs)


def vertical_signs(pattern: FilmPattern, *, tube_up: bool) -> str:
    """What a tube too high (or too low) left in the film, or nothing."""
    shift = pattern.buccal_down_mm if tube_up else -pattern.buccal_down_mm
    if shift <= NOTICED_MM:
        return ""
    way = "lower" if tube_up else "higher"
    return f"the buccal cusps, {shift:.1f} mm {way} in the image against the lingual ones"


def forward_signs(pattern: FilmPattern, *, receptor_forward: bool) -> str:
    """What a receptor too far to the front (or back) left in the film, or nothing."""
    shift = -pattern.teeth_forward_mm if receptor_forward else pattern.teeth_forward_mm
    way = "back" if receptor_forward else "front"
    return f"the teeth, too far to the {way} in the image" if shift > NOTICED_MM else ""


def height_signs(pattern: FilmPattern, *, receptor_up: bool) -> str:
    """What a receptor too high (or too low) left in the film, or nothing."""
    shift = pattern.bite_down_mm if receptor_up else -pattern.bite_down_mm
    way = "low" if receptor_up else "high"
    return f"the line of the bite, too {way} in the image" if shift > NOTICED_MM else ""


def _overlap(value_mm: float) -> str:
    return f"{max(value_mm, 0.0):.1f}"


__all__ = [
    "ContactPattern",
    "FilmPattern",
    "film_pattern",
    "forward_signs",
    "height_signs",
    "swing_signs",
    "vertical_signs",
]
