"""Enamel is a wedge with a knife's edge, thickest over cusps; dentine sends a horn under each."""

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.solids.dentine_horns import dentine_relief
from bitewright.solids.enamel_cap import dentine_field
from bitewright.solids.occlusal_relief import grown_relief
from bitewright.solids.placed_tooth import PlacedTooth, placed_teeth
from bitewright.solids.tooth_grid import ToothGrid
from bitewright.solids.tooth_solid import outer_field, with_facets
from tests.scenes import outlines_of

Floats = NDArray[np.float64]


def placed(code: int) -> PlacedTooth:
    return placed_teeth(outlines_of(), (code,))[0]


@pytest.mark.parametrize(
    ("code", "side"),
    [
        (15, "mesial"),
        *(
            pytest.param(code, side, marks=pytest.mark.slow)
            for code in (15, 16, 45, 46)
            for side in ("mesial", "distal")
            if (code, side) != (15, "mesial")
        ),
    ],
)
def test_enamel_thickens_evenly_from_a_knifes_edge_to_the_contact(code: int, side: str) -> None:
    tooth = placed(code)
    grid = ToothGrid.of(tooth, 0.1)
    outer = with_facets(tooth, grid, outer_field(tooth, grid))
    dentine = dentine_field(tooth, grid, outer)
    middle = int(np.abs(grid.buccal).argmin())
    sign = 1.0 if side == "mesial" else -1.0
    contact = float(tooth.sections.contact_mm[tooth.row, 0 if side == "mesial" else 1])
    edge = float(tooth.junction(np.array(sign * 0.5 * tooth.tooth.md_cervix_mm)))
    thick = []
    for share in (-0.2, 0.15, 0.4, 0.7, 1.0):
        level = int(np.abs(grid.height - edge - share * (contact - edge)).argmin())
        out, within = (
            (sign * grid.mesial[:, 0, 0])[field[:, middle, level] < 0.0].max()
            for field in (outer, dentine)
        )
        thick.append(float(out - within))
    assert thick[0] == 0.0
    assert thick[1] < 0.35 * tooth.tooth.enamel_contact_mm
    assert np.all(np.diff(thick) > 0.05), thick


@pytest.mark.parametrize("code", [14, 16, 46])
def test_a_horn_stands_under_each_cusp_and_enamel_is_thinnest_in_fissures(code: int) -> None:
    tooth = placed(code)
    grid = ToothGrid.of(tooth, 0.1)
    mesial, buccal = grid.mesial[..., 0], grid.buccal[..., 0]
    dentine = dentine_relief(tooth, grid)
    thick = grown_relief(tooth, mesial, buccal) - dentine
    tips = tooth.outlines.cusps.grown_tips(tooth.row)
    for tip in tips:
        away = np.hypot(mesial - 0.86 * tip[0], buccal - 0.86 * tip[1])
        ring = dentine[(away > 0.9) & (away < 1.1)]
        assert dentine[away < 0.3].max() > np.median(ring) + 0.15, tip
    near = np.min([np.hypot(mesial - t[0], buccal - t[1]) for t in tips], axis=0)
    table = np.hypot(mesial / 3.0, buccal / 3.0) < 1.0
    assert thick[table].min() > 0.4
    assert thick[near < 0.3].mean() > 1.35 * thick[table & (near > 1.5)].min()
