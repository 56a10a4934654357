"""Bugs are planted where they are said to be, drawn by seed alone, and stay through other edits."""

import ast

import pytest

from trials.mutants.changes import known_of
from trials.mutants.drawing import by_hand, draw
from trials.mutants.sites import Site, planted, sites_of
from trials.mutants.trial import UnclearError, failure

SOURCE = '''"""Says 1 + 1."""

SPAN_MM = 4.0


def reach(upper: float, lower: float) -> float:
    """From a - b."""
    if upper > len("mm"):
        raise ValueError(f"too long by {upper - 2.0}")
    return (
        upper * SPAN_MM
        - lower
    )


def both(x: float, y: float) -> float:
    return reach(x, y)
'''


def sites(source: str) -> list[Site]:
    return sites_of(source, "bitewright.audit.made_up", known_of([ast.parse(source)]))


def test_each_bug_is_one_change_of_the_arithmetic() -> None:
    assert [(each.function, each.kind, each.before, each.after) for each in sites(SOURCE)] == [
        ("reach", "one off", "upper > len('mm')", "upper >= len('mm')"),
        ("reach", "side", "upper", "lower"),
        ("reach", "sign", "upper * SPAN_MM - lower", "lower - upper * SPAN_MM"),
        ("reach", "sign", "upper * SPAN_MM - lower", "upper * SPAN_MM + lower"),
        ("reach", "times", "upper * SPAN_MM", "upper / SPAN_MM"),
        ("reach", "side", "upper", "lower"),
        ("reach", "side", "lower", "upper"),
        ("both", "swap", "reach(x, y)", "reach(y, x)"),
    ]


def test_a_planted_bug_changes_its_place_and_no_line_number() -> None:
    turned = sites(SOURCE)[3]
    lines = planted(SOURCE, turned).splitlines()
    assert lines[:9] == SOURCE.splitlines()[:9]
    assert lines[14:] == SOURCE.splitlines()[14:]
    found: dict[str, object] = {}
    exec(planted(SOURCE, turned), found)  # noqa: S102  our own text above
    assert found["both"](2.0, 3.0) == 11.0  # type: ignore[operator]  # a function


def test_what_shows_no_bug_is_left_alone() -> None:
    plain = "def f(a, b, front_sign):\n    return abs(a - b) + (a - b) ** 2 + a * front_sign\n"
    of_difference = [each for each in sites(plain) if each.before == "a - b"]
    assert {each.after for each in of_difference} == {"a + b"}
    assert [each.after for each in sites(plain) if each.before == "a * front_sign"] == ["a"]


def test_a_draw_stays_through_edits_elsewhere_and_figures_moved_to_a_table() -> None:
    wanted = {"audit": 3}
    first = [each.identity for each in draw(sites(SOURCE), [], wanted)]
    longer = SOURCE.replace("def both", "def other(a, b):\n    return a / b\n\n\ndef both")
    moved = longer.replace("upper * SPAN_MM", 'upper * table["span_mm"]')
    assert [each.identity for each in draw(sites(moved), first, wanted)] == first


def test_a_bug_whose_place_is_gone_gives_way_to_the_next() -> None:
    wanted = {"audit": 3}
    first = [each.identity for each in draw(sites(SOURCE), [], wanted)]
    without = SOURCE.replace("reach(x, y)", "x")
    later = [each.identity for each in draw(sites(without), first, wanted)]
    assert len(later) == 3
    assert set(first) - set(later) == {each for each in first if each[1] == "both"}


def test_another_seed_draws_other_bugs() -> None:
    draws = {tuple(s.identity for s in draw(sites(SOURCE), [], {"audit": 2}, k)) for k in range(9)}
    assert len(draws) > 3


def test_bugs_by_hand_still_have_their_places() -> None:
    found = by_hand()
    assert len(found) >= 16
    for each in found:
        ast.parse(each.text)


def test_a_bug_is_caught_by_a_test_that_fails_and_by_nothing_else() -> None:
    said = "1 failed\nFAILED tests/unit/audit/test_rates.py::test_wilson - assert 1 == 2\n"
    assert failure(1, said) == "tests/unit/audit/test_rates.py::test_wilson"
    assert (
        failure(2, "ERROR tests/unit/audit/test_rates.py - x") == "tests/unit/audit/test_rates.py"
    )
    assert failure(0, "2 passed") == ""
    assert failure(None, "..") == "too long"
    assert failure(-11, "..") == "no test could end"
    with pytest.raises(UnclearError):
        failure(1, "2 passed\nKeyError")
