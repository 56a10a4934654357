"""Fillings, crowns, caries and calculus: described, solid, and seen on films where they are."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.dentition.mouth import Mouth, standard_mouth
from bitewright.dentition.mouth_description import mouth_from_description, mouth_to_description
from bitewright.dentition.outlines import build_outlines
from bitewright.dentition.tooth_parts import (
    CARIES_DEPTHS,
    FILLING_SURFACES,
    MATERIALS,
    ToothPart,
    ToothPartError,
)
from bitewright.dentition.tooth_shells import ToothShells, tooth_shells
from tests.winding import winding

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


def test_deeper_caries_takes_more_and_reaches_dentine() -> None:
    lost = []
    for depth in CARIES_DEPTHS:
        solids = dict(
            shells_with(15, ToothPart(kind="caries", surface="distal", depth=depth)).parts
        )
        lost.append(sum(mesh.volume_mm3 for mesh in solids.values()))
        assert ("carious-dentine" in solids) is depth.endswith("dentine")
    assert lost == sorted(lost)


def test_a_mouth_with_parts_comes_back_from_its_description() -> None:
    mouth = with_parts(46, *ALL_PARTS[:3])
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
