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
from bitewright.quality.occlusal_line import occlusal_line
from bitewright.quality.wanted import Wanted

Floats = NDArray[np.float64]

NUDGE_MM = 0.01

OUTSIDE_MM = -1.0
"""Margin of a landmark that a person says is off the image or hidden, without a place."""

NOT_SEEN = (Status.OUTSIDE, Status.CUT, Status.HIDDEN)
"""What becomes of a landmark that a film does not show."""


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
        Bone shown beyond the crest, towards the roots, in millimetres at the tooth. [mm]
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
    margins = [
        _contact_margins(landmarks, wanted),
        _surface_margins(landmarks, wanted.front_surfaces),
        _surface_margins(landmarks, wanted.last_surfaces),
        _surface_margins(landmarks, wanted.gap_surfaces),
    ]
    return Measurements(
        wanted=wanted,
        **values,
        enamel_share=values["overlap_mm"] / scale.enamel_mm,
        contact_margin_mm=margins[0],
        contact_status=_contact_status(landmarks, wanted),
        front_margin_mm=margins[1],
        last_margin_mm=margins[2],
        gap_margin_mm=margins[3],
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

    def columns(names: list[str]) -> list[int]:
        return [column.get(name, missing) for name in names]

    ahead = columns([f"{front}.distal" for front, _ in wanted.contacts])
    behind = columns([f"{back}.mesial" for _, back in wanted.contacts])
    crest = columns(list(wanted.crests))
    crest_up = np.array([-1.0 if int(name[:2]) // 10 in (1, 2) else 1.0 for name in wanted.crests])
    said_gone = [
        name in column
        and bool(np.isin(landmarks.status_of(name), NOT_SEEN).all())
        and bool(np.isnan(landmarks.points(name)).all())
        for name in wanted.crests
    ]
    ratio = scale.object_per_receptor
    mean_ratio = (1.0 / scale.magnification).mean(axis=1) if scale.magnification.size else 1.0

    def evaluate(points: Floats) -> Evaluated:
        held = np.concatenate([points, np.full((len(points), 1, 2), np.nan)], axis=1)
        line = occlusal_line(landmarks, points, wanted)
        apart = held[:, behind] - held[:, ahead]
        along = np.einsum("ncx,nx->nc", apart, line.front)
        # Vertically, towards the roots, to the edge of the active area.
        clear = landmarks.half_size_mm[1] - crest_up * held[:, crest, 1]
        beam = _beam_margin(landmarks, crest, len(points))
        clear = np.where(said_gone, OUTSIDE_MM, np.minimum(clear, beam))
        return {
            "overlap_mm": along * ratio,
            "crest_clearance_mm": clear * np.reshape(mean_ratio, (-1, 1)),
            "occlusal_slope_deg": line.slope_deg,
            "occlusal_offset_mm": line.offset_mm,
            "closure_mm": line.separation_mm * mean_ratio - block_mm,
        }

    return evaluate


def _beam_margin(landmarks: Landmarks, columns: list[int], count: int) -> Floats:
    margin = np.concatenate(
        [landmarks.beam_margin_mm, np.full((len(landmarks), 1), np.nan)], axis=1
    )[:, columns]
    return np.broadcast_to(margin, (count, len(columns))) if len(margin) == 1 else margin


def _contact_margins(landmarks: Landmarks, wanted: Wanted) -> Floats:
    """Worse edge of each contact, against the worse of active area and beam, (E, C)."""
    edges = [
        np.minimum(_margin(landmarks, f"{front}.distal"), _margin(landmarks, f"{back}.mesial"))
        for front, back in wanted.contacts
    ]
    return _stacked(edges, len(landmarks))


def _surface_margins(landmarks: Landmarks, names: tuple[str, ...]) -> Floats:
    return _stacked([_margin(landmarks, name) for name in names], len(landmarks))


def _margin(landmarks: Landmarks, name: str) -> Floats:
    frame, beam = landmarks.margins(name)
    margin = np.minimum(frame, beam)
    # A person may say "outside" or "hidden" without a place: then it is, by an unknown amount.
    said = np.isin(landmarks.status_of(name), NOT_SEEN)
    return np.where(said & ~np.isfinite(margin), OUTSIDE_MM, margin)


def _contact_status(landmarks: Landmarks, wanted: Wanted) -> NDArray[np.int8]:
    worst = [
        np.maximum(landmarks.status_of(f"{front}.distal"), landmarks.status_of(f"{back}.mesial"))
        for front, back in wanted.contacts
    ]
    return np.stack(worst, axis=1) if worst else np.zeros((len(landmarks), 0), dtype=np.int8)


def _stacked(columns: list[Floats], count: int) -> Floats:
    return np.stack(columns, axis=1) if columns else np.zeros((count, 0))


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


__all__ = ["Measurements", "measure"]
