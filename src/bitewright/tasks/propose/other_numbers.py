"""The same marks with an arch, or both, numbered one place further back or to the front.

Teeth named one place off leave a film whose marks fit some mouth and exposure badly; but so do
crowns of unusual form. What tells one from the other is whether other numbers fit better.
"""

from collections.abc import Iterator
from dataclasses import replace

from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.tooth_numbers import widths_against
from bitewright.mouth.tooth_forms import is_upper
from bitewright.proposing.channels import FIRST_PLACE, LAST_PLACE
from bitewright.proposing.proposals import ProposedMark
from bitewright.proposing.square import SIDE_PX
from bitewright.proposing.taken_for import likely_view
from bitewright.quality.views import view

STEPS = ((1, 1), (-1, -1), (1, 0), (-1, 0), (0, 1), (0, -1))
"""Of the upper and of the lower teeth: both arches first, since that is seen least otherwise."""

FAR_FROM_WIDTHS = 8.0
"""Numbers are not tried where twice the log-likelihood of crowns' widths falls by more. Our choice,
to save time: of films numbered rightly and wrongly none was judged otherwise for it."""


def other_numbers(marks: MarkedFilm, marked: Landmarks) -> Iterator[MarkedFilm]:
    """A film's marks under the other numbers that its teeth may have.

    Left out are numbers that the network does not know, teeth said to be missing, and numbers that
    crowns' widths alone speak against. The view is what the film was likely taken for by its new
    numbers.

    Parameters
    ----------
    marks : MarkedFilm
    marked : Landmarks
        The same.
    """
    for upper, lower in STEPS:
        if widths_against(marked, (upper, lower)) > FAR_FROM_WIDTHS:
            continue
        renumbered = {
            f"{int(name[:2]) + (upper if is_upper(int(name[:2])) else lower)}{name[2:]}": mark
            for name, mark in marks.marks.items()
        }
        codes = {int(name[:2]) for name in renumbered}
        known = all(FIRST_PLACE <= code % 10 <= LAST_PLACE for code in codes)
        if known and not codes & set(marks.absent_teeth):
            made = replace(marks, marks=renumbered)
            yield replace(made, view=_view_name(made))


def _view_name(marks: MarkedFilm) -> str:
    of_view = view(marks.view)
    made = [
        ProposedMark(
            name=name,
            place_px=((mark.x_px or 0.0) - 0.5 * marks.columns + 0.5 * SIDE_PX, 0.0),
            presence=1.0,
            sd_mm=mark.sd_mm or 0.0,
        )
        for name, mark in marks.marks.items()
    ]
    upright = marks.rows > marks.columns
    return likely_view(made, of_view.region.side, upright=upright).name


__all__ = ["other_numbers"]
