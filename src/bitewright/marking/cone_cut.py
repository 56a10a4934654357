"""A cone cut that a person saw on a film: the edge of its blank part, and how much that is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.beam_cover import BEAM_PLACES, cover_of
from bitewright.exposing.clear_edge import ClearEdge, RoundEdge, StraightEdge
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.marks import CONE_CUT, MarkedFilm, MarkedFilmError

Floats = NDArray[np.float64]

FLAT_MM = 0.3
"""An edge that bulges less than this between its marked ends is taken as straight. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenConeCut:
    """A cone cut seen; ``edge`` is None where nobody marked it."""

    edge: ClearEdge | None


def cone_cut(film: MarkedFilm, *, pixel_mm: float) -> SeenConeCut | None:
    """The cone cut among a film's observations; None where none was seen.

    The blank part is the side of the edge with fewer of the film's seen marks. Model: a straight
    edge through two places, or through more that bulge little, by least squares; else a circle by
    least squares. A field's edge bulges into the blank part.

    Parameters
    ----------
    film : MarkedFilm
    pixel_mm : float
        [mm]

    Raises
    ------
    MarkedFilmError
        If a round edge bulges towards the marks.
    """
    seen = [each for each in film.observations if each.name == CONE_CUT]
    if not seen:
        return None
    places = [
        film.place_receptor_mm(x, y, pixel_mm=pixel_mm) for each in seen for x, y in each.edge_px
    ]
    marks = list(film.seen_points_receptor_mm(pixel_mm=pixel_mm).values())
    if not places or not marks:
        return SeenConeCut(edge=None)
    return SeenConeCut(edge=_edge(np.array(places), np.array(marks)))


def edge_places_px(
    edge: ClearEdge, *, columns: int, rows: int, pixel_mm: float
) -> tuple[tuple[float, float], ...]:
    """Places on a blank part's edge as a person would mark them; none where it misses the image.

    Two of a straight edge, `ROUND_PLACES` of a round one.
    """
    half = 0.5 * pixel_mm * np.array([columns, rows])
    steps = np.linspace(-WITHIN, WITHIN, 2 if isinstance(edge, StraightEdge) else ROUND_PLACES)
    found = [_crossings(edge, steps * half[1], down=True), _crossings(edge, steps * half[0])]
    inside = [each[(np.abs(each) <= half).all(axis=1)] for each in found]
    places = max(inside, key=len) / pixel_mm + 0.5 * np.array([columns, rows])
    return tuple((round(float(x), 2), round(float(y), 2)) for x, y in places)


WITHIN, ROUND_PLACES = 0.9, 7
"""Places are told this far out from the image's middle, and so many of a round edge."""


def _crossings(edge: ClearEdge, at_mm: Floats, *, down: bool = False) -> Floats:
    """Where an edge crosses lines across the image at these heights, or lines down it, (n, 2)."""
    if isinstance(edge, StraightEdge):
        along, across = (edge.across_v, edge.across_u) if down else (edge.across_u, edge.across_v)
        other = (edge.reach_mm - along * at_mm) / across if abs(across) > 1e-9 else at_mm * np.nan
    else:
        middle, off = (
            (edge.centre_u_mm, edge.centre_v_mm) if down else (edge.centre_v_mm, edge.centre_u_mm)
        )
        rest = np.sqrt(np.maximum(edge.radius_mm**2 - (at_mm - off) ** 2, 0.0))
        # Of the two sides the one nearer the image's middle.
        other = middle - np.copysign(rest, middle)
    return np.column_stack([other, at_mm] if down else [at_mm, other])


def cover_seen_mm(cut: SeenConeCut, landmarks: Landmarks, corner_radius_mm: float) -> Floats:
    """Exposed beyond each of `beam_cover.BEAM_PLACES` of a film with a cone cut, (1, 8). [mm]

    Only the seen edge is known: others count as covered with room to spare. Without an edge every
    place is cut by an unknown amount, minus infinity.
    """
    edge = cut.edge
    if edge is None:
        return np.full((1, len(BEAM_PLACES)), -np.inf)
    points = landmarks.points_receptor[0]
    seen = points[np.isfinite(points).all(axis=1)]
    lit = seen[edge.inside_mm(seen[:, 0], seen[:, 1]) > 0.0]
    return cover_of(
        edge.inside_mm,
        lit.mean(axis=0)[None] if len(lit) else np.zeros((1, 2)),
        half_size_mm=landmarks.half_size_mm,
        front_sign=landmarks.front_sign,
        corner_radius_mm=corner_radius_mm,
    )


def _edge(places: Floats, marks: Floats) -> ClearEdge:
    """The edge through places (n, 2) with most of the marks (m, 2) in its exposed part."""
    middle = places.mean(axis=0)
    along = np.linalg.svd(places - middle)[2][0]
    across = np.array([-along[1], along[0]])
    if np.mean(np.sign((marks - middle) @ across)) > 0.0:
        across = -across
    off = (places - middle) @ across
    if len(places) == 2 or np.ptp(off) < FLAT_MM:
        reach = float(middle @ across)
        return StraightEdge(across_u=float(across[0]), across_v=float(across[1]), reach_mm=reach)
    # A circle by least squares: |p|^2 = 2 c . p + (r^2 - |c|^2) is linear in c and the rest.
    known = np.column_stack([2.0 * places, np.ones(len(places))])
    u, v, rest = np.linalg.lstsq(known, (places**2).sum(axis=1), rcond=None)[0]
    found = RoundEdge(
        centre_u_mm=float(u), centre_v_mm=float(v), radius_mm=float(np.sqrt(rest + u * u + v * v))
    )
    if np.mean(np.sign(found.inside_mm(marks[:, 0], marks[:, 1]))) < 0.0:
        raise MarkedFilmError(
            "the edge of a cone cut",
            "curved towards the marks",
            "straight, or bulging away from the marks as a round beam's edge does; mark it again, "
            "or give its two ends alone",
        )
    return found


__all__ = ["SeenConeCut", "cone_cut", "cover_seen_mm", "edge_places_px"]
