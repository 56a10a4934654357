"""A tooth's own shape hangs on the tooth and on what touches it, not on where it stands."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.mouth import Mouth, textbook_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.tooth_parts import ToothPart
from bitewright.solids.placed_tooth import placed_teeth

CODES = (11, 12, 13, 14, 15, 16, 17, 46, 47)
INWARD_MM = 0.004


def changed(code: int, **fields: object) -> Mouth:
    base = textbook_mouth()
    tooth = replace(base.teeth[code], **fields)  # type: ignore[arg-type]
    return replace(base, teeth={**base.teeth, code: tooth})


def shaped_anew(mouth: Mouth) -> set[int]:
    """Teeth that hang on something else than in the textbook's mouth."""
    before, after = (placed_teeth(build_outlines(of), CODES) for of in (textbook_mouth(), mouth))
    return {
        one.code for one, was in zip(after, before, strict=True) if one.hangs_on() != was.hangs_on()
    }


def test_a_turned_or_moved_tooth_shapes_only_itself_and_its_neighbours() -> None:
    assert shaped_anew(changed(15, rotation_deg=3.0)) == {14, 15, 16}
    assert shaped_anew(changed(15, out_of_line_mm=0.4)) == {14, 15, 16}
    assert shaped_anew(changed(47, rotation_deg=3.0)) == {46, 47}


def test_bone_and_fillings_shape_at_most_their_own_tooth() -> None:
    filling = ToothPart(kind="filling", surface="occlusal", material="amalgam")
    assert shaped_anew(changed(15, crest_distal_mm=3.0)) == set()
    assert shaped_anew(changed(15, parts=(filling,))) == {15}
    assert shaped_anew(replace(textbook_mouth(), name="another")) == set()


def test_a_mirrored_mouth_has_the_same_teeth_on_the_other_side() -> None:
    base = drawn_mouth(4)
    one = placed_teeth(build_outlines(base), (14, 45))
    other = placed_teeth(build_outlines(base.mirrored()), (24, 35))
    for own, same in zip(one, other, strict=True):
        assert own.hangs_on() == same.hangs_on()


@pytest.mark.parametrize("seed", [1, 2])
def test_rounded_facets_stand_inward_of_the_outlines_by_thousandths(seed: int) -> None:
    outlines = build_outlines(drawn_mouth(seed))
    for site in outlines.sites:
        for placed, side in zip(placed_teeth(outlines, site.pair), (1, 0), strict=True):
            away = site.point_mouth - outlines.origins_mouth[placed.row]
            point = outlines.axes_mouth[placed.row] @ away
            *normal, offset = placed.planes_tooth[side]
            beyond = float(np.dot(normal, point)) - offset
            exact = outlines.planes_mouth[placed.row, side]
            inward = beyond - float(exact[:3] @ site.point_mouth - exact[3])
            assert 0.0 < inward < INWARD_MM, site.name
