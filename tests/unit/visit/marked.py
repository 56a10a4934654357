"""Marked films with the overlaps that a test asks for, and the same seen in a mirror."""

from collections.abc import Mapping
from dataclasses import replace

from bitewright.marking.marks import Mark, MarkedFilm, MarkStatus
from bitewright.marking.visible_places import VISIBLE
from bitewright.mouth.landmark_names import parse_landmark
from bitewright.quality.views import mirrored_view, view
from bitewright.visit.film_evidence import FilmOfVisit

COLUMNS, ROWS, PIXEL_MM = 1400, 1000, 0.03
MAGNIFICATION = 1.04
TOOTH_PX = 230.0
FIRST_PX = {"premolar": 1250.0, "molar": 1480.0}
"""Where the contact behind the canine lies, front of the mouth on the viewer's right."""

MIRRORED = {"1": "2", "2": "1", "3": "4", "4": "3"}


def film(
    view_name: str,
    overlaps_mm: Mapping[str, float] | None = None,
    *,
    sd_mm: float = 0.15,
    name: str | None = None,
    absent: tuple[int, ...] = (),
) -> FilmOfVisit:
    """A right film; contacts such as "15-16" overlap as said, others by nothing."""
    of = view(view_name)
    marks: dict[str, Mark] = {}
    for quadrant in of.region.quadrants:
        y = 400.0 if quadrant == 1 else 600.0
        for front, back in of.contacts:
            if back == 8 or not absent_free(quadrant, (front, back), absent):
                continue
            a, b = 10 * quadrant + front, 10 * quadrant + back
            overlap_mm = (overlaps_mm or {}).get(f"{a}-{b}", 0.0) * MAGNIFICATION
            half = (0.5 * overlap_mm + VISIBLE.edge.outward_mm) / PIXEL_MM
            x = FIRST_PX[of.region.zone] - TOOTH_PX * (front - 3)
            marks |= {f"{a}.distal": _mark(x - half, y), f"{b}.mesial": _mark(x + half, y)}
    return _film(name or view_name, view_name, marks, sd_mm, absent)


def absent_free(quadrant: int, places: tuple[int, int], absent: tuple[int, ...]) -> bool:
    """Whether both teeth are there."""
    return not {10 * quadrant + place for place in places} & set(absent)


def changed(of: FilmOfVisit, marks: Mapping[str, Mark | None]) -> FilmOfVisit:
    """With other marks, or without those that are None."""
    every = {**of.marks.marks, **marks}
    left = {name: mark for name, mark in every.items() if mark is not None}
    return replace(of, marks=replace(of.marks, marks=left))


def mirrored(of: FilmOfVisit) -> FilmOfVisit:
    """The film of the mirrored mouth."""
    marks = {
        mirrored_place(name): replace(mark, x_px=None if mark.x_px is None else COLUMNS - mark.x_px)
        for name, mark in of.marks.marks.items()
    }
    other = mirrored_view(of.view)
    absent = tuple(int(mirrored_place(str(code))) for code in of.marks.absent_teeth)
    return replace(
        of,
        view=other,
        marks=replace(of.marks, marks=marks, view=other.name, absent_teeth=absent),
    )


def mirrored_place(name: str) -> str:
    """A tooth, or a place at one, on the other side."""
    return MIRRORED[name[0]] + name[1:]


def with_content(of: FilmOfVisit, number: int) -> FilmOfVisit:
    """With an image of its own, and marks that no other film shares."""
    return replace(of, marks=replace(of.marks, image_sha256=str(number) * 64))


OFF = Mark(status=MarkStatus.OUTSIDE)
COVERED = Mark(status=MarkStatus.HIDDEN)


def _mark(x: float, y: float) -> Mark:
    return Mark(x_px=x, y_px=y) if 0 <= x <= COLUMNS else OFF


def _film(
    name: str, view_name: str, marks: dict[str, Mark], sd_mm: float, absent: tuple[int, ...]
) -> FilmOfVisit:
    for each in marks:
        parse_landmark(each)
    kept = MarkedFilm(
        image_name=f"{name}.png",
        columns=COLUMNS,
        rows=ROWS,
        view=view_name,
        pixel_mm=PIXEL_MM,
        mark_sd_mm=sd_mm,
        marks=marks,
        absent_teeth=absent,
    )
    return FilmOfVisit(name=name, marks=kept, view=view(view_name), pixel_mm=PIXEL_MM)
