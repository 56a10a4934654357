"""Fillings, crowns, caries and calculus: described, solid, and seen on films where they are."""

from dataclasses import replace
from functools import lru_cache
from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.mouth.invented_mouths import invented_mouth
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import mouth_from_description, mouth_to_description
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_parts import (
    CARIES_DEPTHS,
    FILLING_SURFACES,
    MATERIALS,
    ToothPart,
    ToothPartError,
    TwoPartsError,
)
from bitewright.solids.filling_fields import filling_layers
from bitewright.solids.placed_tooth import PlacedTooth, placed_teeth
from bitewright.solids.tooth_grid import ToothGrid
from bitewright.solids.tooth_shells import ToothShells, tooth_shells
from bitewright.solids.tooth_solid import outer_field
from tests.closed_meshes import manifold
from tests.winding import winding

Floats = NDArray[np.float64]

ALL_PARTS = [
    *(
        ToothPart(kind="filling", surface=surface, material=material)
        for surface in FILLING_SURFACES
        for material in MATERIALS
    ),
    *(ToothPart(kind="caries", surface="mesial", depth=depth) for depth in CARIES_DEPTHS),
    ToothPart(kind="caries", surface="distal", depth="outer-dentine"),
    ToothPart(kind="calculus", surface="mesial"),
    ToothPart(kind="calculus", surface="distal"),
    ToothPart(kind="crown"),
    ToothPart(kind="root-filling"),
]


def with_parts(code: int, *parts: ToothPart) -> Mouth:
    base = standard_mouth()
    return replace(base, teeth={**base.teeth, code: replace(base.teeth[code], parts=parts)})


@lru_cache(maxsize=8)
def shells_with(code: int, *parts: ToothPart) -> ToothShells:
    (made,) = tooth_shells(build_outlines(with_parts(code, *parts)), (code,))
    return made


QUICK = {"crown", "root-filling"}


@pytest.mark.parametrize(
    "part",
    [
        pytest.param(part, marks=() if part.kind in QUICK else pytest.mark.slow)
        for part in ALL_PARTS
    ],
    ids=lambda p: f"{p.kind} {p.surface}{p.depth}",
)
def test_every_part_is_a_closed_solid(part: ToothPart) -> None:
    made = shells_with(46, part)
    assert made.parts
    for name, mesh in made.parts:
        assert mesh.unmatched_edge_count() == 0, name
        assert mesh.volume_mm3 > 0.0, name


def test_a_filling_lies_inside_its_tooth_and_calculus_outside() -> None:
    parts = (
        ToothPart(kind="filling", surface="mesial-occlusal", material="amalgam"),
        ToothPart(kind="calculus", surface="distal"),
    )
    made = shells_with(46, *parts)
    solids = dict(made.parts)
    filling = solids["amalgam"].vertices_mm[::11]
    # Marched twice as finely as the tooth, it follows fissures some hundredths further.
    assert (winding(made.outer, filling) > 0.5).mean() > 0.93
    calculus = solids["calculus"].vertices_mm[::5]
    assert (winding(made.outer, calculus) > 0.5).mean() < 0.25, "only where it sits on the root"
    assert solids["filling-in-dentine"].volume_mm3 < solids["amalgam"].volume_mm3


def filling(code: int, **given: object) -> tuple[PlacedTooth, ToothGrid, list[str], list[Floats]]:
    part = ToothPart(**{"kind": "filling", "material": "amalgam", **given})  # type: ignore[arg-type]
    (placed,) = placed_teeth(build_outlines(with_parts(code, part)), (code,))
    grid = ToothGrid.of(placed, 0.2)
    outer = outer_field(placed, grid)
    names, fields = zip(*filling_layers(placed, grid, part, outer), strict=True)
    return placed, grid, list(names), [*fields, outer]


@pytest.mark.slow
def test_some_metal_fillings_have_a_lining_below_them_alone() -> None:
    sizes = np.linspace(0.6, 1.3, 12)
    lined = 0
    for size in sizes:
        _, grid, names, (*fields, _) = filling(46, surface="occlusal", size=float(size))
        if names == ["amalgam"]:
            continue
        lined += 1
        metal, lining = (field < 0.0 for field in fields)
        assert names == ["amalgam", "composite"]
        assert not (metal & lining).any()
        height = np.broadcast_to(grid.height, metal.shape)
        assert height[lining].max() < height[metal].max() - 1.0
    assert 2 < lined < 10


@pytest.mark.slow
def test_some_fillings_of_a_side_overhang_at_their_foot() -> None:
    out = []
    for size in np.linspace(0.6, 1.3, 24):
        placed, grid, _, (metal, outer) = filling(46, surface="mesial", size=float(size))
        beyond = (metal < 0.0) & (outer > 0.0)
        out.append(float(outer[beyond].max(initial=0.0)))
        if beyond.any():
            at = np.broadcast_to(grid.height, beyond.shape)[beyond].mean()
            assert at < placed.sections.contact_mm[placed.row, 0]
    assert max(out) < 0.4
    assert 0.05 < np.mean(np.array(out) > 0.05) < 0.6


@pytest.mark.slow
def test_deeper_caries_takes_more_and_reaches_dentine() -> None:
    lost = []
    for depth in CARIES_DEPTHS:
        solids = shells_with(15, ToothPart(kind="caries", surface="distal", depth=depth)).parts
        lost.append(sum(mesh.volume_mm3 for _, mesh in solids))
        reached = {name for name, _ in solids}
        assert ("carious-dentine" in reached) is depth.endswith("dentine")
    assert lost == sorted(lost)


AMALGAM = ToothPart(kind="filling", surface="mesial-occlusal", material="amalgam")
COMPOSITE = ToothPart(kind="filling", surface="distal-occlusal", material="composite")
DEEP = ToothPart(kind="caries", surface="mesial", depth="middle-dentine")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("code", "parts"),
    [
        (16, (DEEP, AMALGAM)),
        (16, (AMALGAM, COMPOSITE)),
        (46, (AMALGAM, ToothPart(kind="crown"), ToothPart(kind="root-filling"))),
        pytest.param(45, invented_mouth("restored").teeth[45].parts, marks=pytest.mark.slow),
        pytest.param(
            36,
            (replace(DEEP, depth="inner-dentine", size=2.0), replace(AMALGAM, size=2.0)),
            marks=pytest.mark.slow,
        ),
    ],
)
def test_no_two_parts_share_a_place(code: int, parts: tuple[ToothPart, ...]) -> None:
    made = shells_with(code, *parts)
    solids = [(name, manifold(mesh)) for name, mesh in made.parts if name != "filling-in-dentine"]
    for (one, first), (other, second) in combinations(solids, 2):
        if one == other and one.startswith("carious"):
            continue  # layers of one lesion
        assert (first ^ second).volume() < 0.02, (one, other)
    pulp = manifold(made.pulp)
    for name, solid in solids:
        assert name == "root-filling" or (solid ^ pulp).volume() < 0.02, name


@pytest.mark.slow
def test_a_filling_replaces_the_caries_it_covers_wherever_it_is_named() -> None:
    alone = dict(shells_with(16, AMALGAM).parts)["amalgam"].volume_mm3
    for parts in ((DEEP, AMALGAM), (AMALGAM, DEEP)):
        assert dict(shells_with(16, *parts).parts)["amalgam"].volume_mm3 == pytest.approx(alone)


@pytest.mark.parametrize(
    ("part", "sentence"),
    [
        (ToothPart(kind="crown"), "tooth 46 carries two parts of kind 'crown', allowed is one"),
        (AMALGAM, "two parts of kind 'filling' on its mesial-occlusal surface"),
    ],
)
def test_two_of_a_kind_on_one_surface_are_refused(part: ToothPart, sentence: str) -> None:
    with pytest.raises(TwoPartsError) as refused:
        with_parts(46, part, replace(part, size=1.2))
    assert sentence in str(refused.value)


def test_a_mouth_with_parts_comes_back_from_its_description() -> None:
    mouth = with_parts(46, *ALL_PARTS[:6:2])
    assert mouth_from_description(mouth_to_description(mouth)) == mouth


@pytest.mark.parametrize(
    ("part", "sentence"),
    [
        ({"kind": "jewel"}, "a part's kind is 'jewel'"),
        ({"kind": "caries", "surface": "mesial"}, "a caries's depth"),
        ({"kind": "caries", "surface": "buccal", "depth": "inner-enamel"}, "a caries's surface"),
        ({"kind": "filling", "surface": "mesial", "material": "gold"}, "a filling's material"),
        ({"kind": "crown", "size": 9}, "a number from 0.3 to 2"),
        ({"kind": "crown", "colour": "red"}, "one of kind, surface"),
        ({"surface": "mesial"}, "a table with a kind"),
        ("crown", "tables of fields"),
    ],
)
def test_impossible_parts_are_refused_in_a_sentence(part: object, sentence: str) -> None:
    content = {"format": "bitewright.mouth/1", "teeth": {"46": {"parts": [part]}}}
    with pytest.raises(ToothPartError) as refused:
        mouth_from_description(content)
    assert sentence in str(refused.value)


def test_mirrored_mouths_carry_their_parts_to_the_other_side() -> None:
    mouth = with_parts(46, ALL_PARTS[0]).mirrored()
    assert mouth.teeth[36].parts == (ALL_PARTS[0],)
    assert np.all([not tooth.parts for code, tooth in mouth.teeth.items() if code != 36])
