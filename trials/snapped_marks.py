"""Contact marks put down beside where films of a modelled mouth show them: which snap, how near.

What `builders/snapping_page.py` runs and writes down.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose, station
from bitewright.exposing.placement import Placement
from bitewright.film.film_mouth import film_mouth
from bitewright.film.predicted_film import predicted_film
from bitewright.marking.crown_edge import crown_edge, outward_of
from bitewright.marking.visible_places import seen_off_mm
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view

VIEWS, RECEPTORS = ("right-premolar", "right-molar"), ("sensor-2", "plate-2")
SWINGS_DEG = (-7.0, 0.0, 7.0, 14.0)
"""How far the tube stands off the holder's ring."""

PIXEL_MM, MOST_OFF_MM, TRIES = 0.03, 0.4, 16
FAR_MM = 0.25


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SnappingFilm:
    """A film, and where it shows the marks of its contacts.

    Parameters
    ----------
    view_name, receptor : str
    swing_deg : float
    pixels : (rows, columns) uint16 array
    places_px : dict of landmark name to (2,) float array
    """

    view_name: str
    receptor: str
    swing_deg: float
    pixels: NDArray[np.uint16]
    places_px: dict[str, NDArray[np.float64]]


def snapping_films() -> Iterator[SnappingFilm]:
    """Sixteen films of the standard mouth: two views, two receptors, four aims."""
    known, outlines = packaged_catalogue(), build_outlines(standard_mouth())
    mouths = {name: film_mouth(outlines, view(name).region) for name in VIEWS}
    for number, (name, receptor, swing) in enumerate(product(VIEWS, RECEPTORS, SWINGS_DEG)):
        of_view = view(name)
        at = station(
            outlines,
            of_view.region,
            known.receptor(receptor),
            known.holder("ring-holder"),
            known.tube("rectangular-300"),
        )
        exposure = expose(
            at, Placement(lingual_mm=4.0, turn_deg=8.0), Aim(ring_offset_deg=swing, vertical_deg=5)
        )
        pixels = predicted_film(
            exposure, mouths[name], pixel_mm=PIXEL_MM, generator=np.random.default_rng(number)
        ).pixels
        of = predict(exposure, asked(of_view, at)).landmarks
        shown_mm = of.points_receptor[0] + seen_off_mm(of.names, of.front_sign)
        middle = 0.5 * np.array(pixels.shape[::-1])
        yield SnappingFilm(
            view_name=name,
            receptor=receptor,
            swing_deg=swing,
            pixels=pixels,
            places_px={
                landmark: shown_mm[row] / PIXEL_MM + middle
                for row, landmark in enumerate(of.names)
                if of.status[0, row] == 0
                and outward_of(landmark, of_view, mirrored=False) is not None
            },
        )


def tried_on(film: SnappingFilm, seed: int) -> list[tuple[float, float | None]]:
    """How far off along the row marks were put, and lay after they snapped; None: they stayed.

    [mm]
    """
    own = np.random.default_rng(seed)
    of_view, tried = view(film.view_name), []
    for name, place in film.places_px.items():
        outward = outward_of(name, of_view, mirrored=False) or 0.0
        for off in own.uniform(-MOST_OFF_MM, MOST_OFF_MM, (TRIES, 2)):
            x, y = place + off / PIXEL_MM
            found = crown_edge(film.pixels, (x, y), pixel_mm=PIXEL_MM, outward=outward)
            tried.append((float(off[0]), None if found is None else float(off[0] + found.shift_mm)))
    return tried


def snapping_table(tried: Sequence[tuple[float, float | None]], films: int) -> str:
    """Shares and errors of all tries, as a table."""
    snapped = [(before, after) for before, after in tried if after is not None]
    before, after = (np.array([each[k] for each in snapped]) for k in (0, 1))
    rows = [
        "| of marks put beside their places | |",
        "| --- | ---: |",
        f"| films | {films} |",
        f"| marks put | {len(tried):,} |",
        f"| snapped | {len(snapped) / len(tried):.0%} |",
        f"| of these, error along the row before, root mean square | {_size(before):.2f} mm |",
        f"| after | {_size(after):.2f} mm |",
        f"| of these, more than {FAR_MM} mm off after | {np.mean(np.abs(after) > FAR_MM):.1%} |",
    ]
    return "\n".join(rows)


def _size(off: NDArray[np.float64]) -> float:
    return float(np.sqrt(np.mean(off**2)))


__all__ = ["SnappingFilm", "snapping_films", "snapping_table", "tried_on"]
