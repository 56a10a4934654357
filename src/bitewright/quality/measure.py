"""Every measurement of a bitewing, defined once, on landmarks.

Planning, assessing, teaching and audit all use these definitions; nothing here knows whether the
landmarks were projected from a model or marked on a film.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.scale import Scale
from bitewright.exposing.ways_on_receptor import rootward_sign
from bitewright.quality.occlusal_line import occlusal_line
from bitewright.quality.wanted import Wanted, edges

Floats = NDArray[np.float64]

NUDGE_MM = 0.01

OUTSIDE_MM = -1.0
"""Margin of a landmark that a person says is off the image or hidden, without a place."""

SHOWN_MM = 1.0
"""Bone beyond a crest that a person says is seen with bone beyond it, without a place: what the
criterion asks, for more is not known."""

NOT_SEEN = (Status.OUTSIDE, Status.CUT, Status.HIDDEN)
"""What becomes of a landmark that a film does not show."""

_IS_NOT_SEEN = np.array([status in NOT_SEEN for status in Status])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurements:
    """Measurements of E exposures. NaN where a landmark is missing.

    Parameters
    ----------
    overlap_mm : (E, C) float array
        Overlap at the contacts, in millimetres at the contact at right angles to the beam;
        negative is a space. [mm]
    enamel_share : (E, C) float array
        Overlap as a share of the thinner adjoining enamel.
    contact_margin_mm, contact_status : (E, C) arrays
        How far inside active area and beam the worse edge of each contact lies [mm]; `Status`.
    front_margin_mm, last_margin_mm, gap_margin_mm : (E, n) float arrays
        The same for the view's front and last surfaces, and those beside a gap. [mm]
    crest_clearance_mm : (E, R) float array
        Bone shown beyond the crest, towards the roots, to the image's edge, its rounded corners
        too, in millimetres at the tooth; negative where the crest is off the image. [mm]
    occlusal_slope_deg : (E,) float array
        Occlusal plane against the image's horizontal; positive with the front end lower. [deg]
    occlusal_offset_mm : (E,) float array
        Middle between the cusp rows below (positive) the image's middle. [mm]
    closure_mm : (E,) float array
        Separation of the cusp rows beyond the bite block's thickness. [mm]
    beam_margin_mm : (E, 8) or (E, 0) float array
        Beam beyond each of `exposing.beam_cover.PLACES`, negative where it stays blank; no columns
        where nobody asked. [mm]
    gone : dict of str to (E,) int array
        `Status` of each surface and crest that the view wants.
    sd : dict of the same names to float arrays
        Standard deviations for one marked film; empty for projected landmarks.
    """

    wanted: Wanted
    overlap_mm: Floats
    enamel_share: Floats
    contact_margin_mm: Floats
    contact_status: NDArray[np.int8]
    front_margin_mm: Floats
    last_margin_mm: Floats
    gap_margin_mm: Floats
    crest_clearance_mm: Floats
    occlusal_slope_deg: Floats
    occlusal_offset_mm: Floats
    closure_mm: Floats
    beam_margin_mm: Floats
    gone: dict[str, NDArray[np.int8]]
    sd: dict[str, Floats]

    def __len__(self) -> int:
        """Number of exposures."""
        return len(self.occlusal_slope_deg)


def measure(
    landmarks: Landmarks,
    scale: Scale,
    wanted: Wanted,
    *,
    block_mm: float,
    beam_margin_mm: Floats | None = None,
) -> Measurements:
    """Measure landmarks of E exposures for what a view wants.

    Parameters
    ----------
    landmarks : Landmarks
    scale : Scale
        Its columns are the contacts of ``wanted``.
    wanted : Wanted
    block_mm : float
        Thickness of the bite block between the teeth; NaN where unknown. [mm]
    beam_margin_mm : (E, 8) float array, optional
        As in `Measurements`; left out where the beam is not judged. [mm]
    """
    points = _from_points(landmarks, scale, wanted, block_mm)
    values = points(landmarks.points_receptor)
    return Measurements(
        wanted=wanted,
        **values,
        enamel_share=values["overlap_mm"] / scale.enamel_mm,
        contact_margin_mm=_contact_margins(landmarks, wanted),
        contact_status=_contact_status(landmarks, wanted),
        front_margin_mm=_margins(landmarks, wanted.front_surfaces),
        last_margin_mm=_margins(landmarks, wanted.last_surfaces),
        gap_margin_mm=_margins(landmarks, wanted.gap_surfaces),
        beam_margin_mm=np.zeros((len(landmarks), 0)) if beam_margin_mm is None else beam_margin_mm,
        gone={name: landmarks.status_of(name) for name in wanted.names},
        sd=_deviations(landmarks, scale, points, values),
    )


Evaluated = dict[str, Floats]


def _from_points(
    landmarks: Landmarks, scale: Scale, wanted: Wanted, block_mm: float
) -> Callable[[Floats], Evaluated]:
    """The measurements as one function of the points (N, L, 2), to be differentiated."""
    column = landmarks.column
    missing = len(landmarks.names)

    def columns(names: tuple[str, ...]) -> list[int]:
        return [column.get(name, missing) for name in names]

    ahead, behind = map(columns, _edge_names(wanted))
    crest = columns(wanted.crests)
    rootward = np.array([rootward_sign(name) for name in wanted.crests])
    said_gone = [
        name in column
        and bool(not_seen(landmarks.status_of(name)).all())
        and bool(np.isnan(landmarks.points(name)).all())
        for name in wanted.crests
    ]
    said_shown = [
        name in column and bool((landmarks.status_of(name) == Status.SHOWN).all())
        for name in wanted.crests
    ]
    ratio = scale.object_per_receptor
    mean_ratio = (1.0 / scale.magnification).mean(axis=1) if scale.magnification.size else 1.0

    def evaluate(points: Floats) -> Evaluated:
        held = np.concatenate([points, np.full((len(points), 1, 2), np.nan)], axis=1)
        line = occlusal_line(landmarks, points, wanted)
        apart = held[:, behind] - held[:, ahead]
        along = np.einsum("ncx,nx->nc", apart, line.front)
        # Vertically, towards the roots, to the edge of the active area; off it sideways is off it.
        beside = landmarks.half_size_mm[0] - np.abs(held[:, crest, 0])
        clear = _edge_height(landmarks, beside) - rootward * held[:, crest, 1]
        clear = np.where(beside < 0.0, np.minimum(clear, beside), clear)
        beam = _beam_margin(landmarks, crest, len(points))
        clear = np.where(said_gone, OUTSIDE_MM, np.minimum(clear, beam))
        return {
            "overlap_mm": along * ratio,
            "crest_clearance_mm": np.where(
                said_shown, SHOWN_MM, clear * np.reshape(mean_ratio, (-1, 1))
            ),
            "occlusal_slope_deg": line.slope_deg,
            "occlusal_offset_mm": line.offset_mm,
            "closure_mm": line.separation_mm * mean_ratio - block_mm,
        }

    return evaluate


def _edge_height(landmarks: Landmarks, beside: Floats) -> Floats:
    """Height of the active area's edge above its middle, so far inside its side edges. [mm]

    Its corners are rounded; beyond a side the edge stays where the corner meets it.
    """
    radius = landmarks.corner_radius_mm
    into_corner = np.clip(radius - beside, 0.0, radius)
    drop = radius - np.sqrt(radius**2 - into_corner**2)
    return np.asarray(landmarks.half_size_mm[1] - drop)


def _beam_margin(landmarks: Landmarks, columns: list[int], count: int) -> Floats:
    margin = np.concatenate(
        [landmarks.beam_margin_mm, np.full((len(landmarks), 1), np.nan)], axis=1
    )[:, columns]
    return np.broadcast_to(margin, (count, len(columns))) if len(margin) == 1 else margin


def not_seen(status: NDArray[np.int8]) -> NDArray[np.bool_]:
    """Whether a film does not show each landmark, of the shape of `status`, any; see `NOT_SEEN`."""
    return np.asarray(_IS_NOT_SEEN[status])


def _contact_margins(landmarks: Landmarks, wanted: Wanted) -> Floats:
    """Worse edge of each contact, against the worse of active area and beam, (E, C).

    Not known where one edge is not, unless the other is off the image: then so is the contact.
    """
    ahead, behind = (_margins(landmarks, names) for names in _edge_names(wanted))
    one_known = np.fmin(ahead, behind)
    return np.where(one_known < 0.0, one_known, np.minimum(ahead, behind))


def _margins(landmarks: Landmarks, names: tuple[str, ...]) -> Floats:
    """How far landmarks (E, n) lie inside active area and beam; NaN where not in the set. [mm]"""
    margin = np.full((len(landmarks), len(names)), np.nan)
    there, columns = _found(landmarks, names)
    margin[:, there] = np.minimum(
        landmarks.frame_margin_mm[:, columns], landmarks.beam_margin_mm[:, columns]
    )
    # A person may say "outside" or "hidden" without a place: then it is, by an unknown amount.
    said = not_seen(_status(landmarks, names))
    return np.where(said & ~np.isfinite(margin), OUTSIDE_MM, margin)


def _contact_status(landmarks: Landmarks, wanted: Wanted) -> NDArray[np.int8]:
    """The worse of both edges' (E, C): one that the film does not show leaves no contact to see."""
    ahead, behind = (_status(landmarks, names) for names in _edge_names(wanted))
    worse = np.maximum(ahead, behind)
    gone = np.where(not_seen(ahead), ahead, behind)
    return np.where(not_seen(worse) | ~not_seen(gone), worse, gone)


def _status(landmarks: Landmarks, names: tuple[str, ...]) -> NDArray[np.int8]:
    """Status of landmarks (E, n)."""
    status = np.full((len(landmarks), len(names)), Status.UNMARKED, dtype=np.int8)
    there, columns = _found(landmarks, names)
    status[:, there] = landmarks.status[:, columns]
    return status


def _found(landmarks: Landmarks, names: tuple[str, ...]) -> tuple[list[int], list[int]]:
    """Which of some names are in a set, and their columns there."""
    column = landmarks.column
    there = [place for place, name in enumerate(names) if name in column]
    return there, [column[names[place]] for place in there]


def _edge_names(wanted: Wanted) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The surfaces at every contact: of the tooth ahead, of the one behind."""
    pairs = [edges(pair) for pair in wanted.contacts]
    return tuple(ahead for ahead, _ in pairs), tuple(behind for _, behind in pairs)


def _deviations(
    landmarks: Landmarks,
    scale: Scale,
    evaluate: Callable[[Floats], Evaluated],
    values: Evaluated,
) -> Evaluated:
    """First-order propagation of the marks' joint covariance and the scale's uncertainty."""
    if landmarks.covariance_mm2 is None:
        return {}
    count = landmarks.points_receptor[0].size
    nudged = np.repeat(landmarks.points_receptor, count, axis=0).reshape(count, -1)
    nudged[np.arange(count), np.arange(count)] += NUDGE_MM
    moved = evaluate(nudged.reshape(count, -1, 2))
    deviations = {}
    for name, value in values.items():
        slope = (moved[name] - value) / NUDGE_MM
        slope = np.nan_to_num(slope.reshape(count, -1))
        variance = np.einsum("im,ij,jm->m", slope, landmarks.covariance_mm2, slope)
        sd = np.sqrt(variance).reshape(value.shape)
        deviations[name] = np.where(np.isfinite(value), sd, np.nan)
    return deviations | _with_scale(scale, values, deviations)


def _with_scale(scale: Scale, values: Evaluated, deviations: Evaluated) -> Evaluated:
    """Overlap and enamel share also carry the uncertainty of magnification, lean and enamel."""
    overlap = values["overlap_mm"]
    tangent = np.sqrt(1.0 / scale.cos_obliquity**2 - 1.0)
    lean = np.deg2rad(scale.obliquity_sd_deg)
    # About a right angle the cosine is flat: its second-order term is what an unknown lean costs.
    relative = np.hypot(
        scale.magnification_sd / scale.magnification, np.hypot(tangent * lean, 0.5 * lean**2)
    )
    sd = np.hypot(deviations["overlap_mm"], overlap * relative)
    share = overlap / scale.enamel_mm
    share_sd = np.hypot(sd / scale.enamel_mm, share * scale.enamel_sd_mm / scale.enamel_mm)
    return {"overlap_mm": sd, "enamel_share": share_sd}


__all__ = ["Measurements", "measure", "not_seen"]
