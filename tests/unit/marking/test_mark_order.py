"""Marks are asked for in the order of what they decide."""

import pytest

from bitewright.marking.mark_order import mark_order
from bitewright.quality.views import view, view_names
from bitewright.quality.wanted import wanted

WITHOUT_THIRD_MOLARS = [code for code in range(11, 49) if 1 <= code % 10 <= 7]


@pytest.mark.parametrize("name", view_names())
def test_both_arches_contacts_come_before_all_else(name: str) -> None:
    order = mark_order(view(name))
    first = {each for each in order if each.count(".") == 1}
    assert set(order[: len(first)]) == first
    edges = {
        f"{code}.{side}"
        for pair in wanted(view(name), WITHOUT_THIRD_MOLARS).contacts
        for code, side in zip(pair, ("distal", "mesial"), strict=True)
    }
    assert edges <= first
    assert len(set(order)) == len(order)


@pytest.mark.parametrize("missing", [13, 15, 46])
@pytest.mark.parametrize("name", view_names())
def test_all_that_is_needed_is_asked_for_where_a_tooth_is_missing(name: str, missing: int) -> None:
    order = mark_order(view(name), absent_teeth=(missing,))
    of = wanted(view(name), [code for code in WITHOUT_THIRD_MOLARS if code != missing])
    assert set(of.names) <= set(order)
    assert not [each for each in order if each.startswith(str(missing))]


@pytest.mark.parametrize(
    ("name", "missing", "facing"),
    [
        ("right-premolar", 14, ("13.distal", "15.mesial")),
        ("right-premolar", 46, ("45.distal", "47.mesial")),
        ("left-molar", 25, ("24.distal", "26.mesial")),
    ],
)
def test_what_tells_whether_a_space_has_closed_is_asked_for(
    name: str, missing: int, facing: tuple[str, str]
) -> None:
    """Also where the view itself asks for one side only; its crests once the space has closed."""
    order = mark_order(view(name), absent_teeth=(missing,))
    edges = [each for each in order if each.count(".") == 1]
    assert set(facing) <= set(edges)
    closed = (int(facing[0][:2]), int(facing[1][:2]))
    then = mark_order(view(name), absent_teeth=(missing,), closed=[closed])
    assert set(edges) <= set(then)
    assert {f"{each}.crest" for each in facing} <= set(then)
    assert {f"{each}.cej" for each in facing} <= set(then)
    assert len(set(then)) == len(then)


def test_a_premolar_film_is_read_quickly_with_twelve_marks() -> None:
    order = mark_order(view("right-premolar"))
    assert [name for name in order if name.count(".") == 1] == list(order[:12])
    assert order[:2] == ("13.distal", "14.mesial")
    assert order[6:8] == ("43.distal", "44.mesial")
