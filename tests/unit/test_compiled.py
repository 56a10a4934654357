"""Compiled functions say what their Python says, with or without a place to keep them."""

import pytest

from bitewright.compiled import compiled, compiled_loosely


def add_thirds(n: int) -> float:
    total = 0.0
    for i in range(n):
        total += i / 3.0
    return total


def test_strict_arithmetic_gives_the_same_bits() -> None:
    assert compiled(add_thirds)(1000) == add_thirds(1000)


def test_loose_arithmetic_is_close() -> None:
    assert compiled_loosely(add_thirds)(1000) == pytest.approx(add_thirds(1000), rel=1e-12)


def test_a_function_that_cannot_be_kept_is_compiled_all_the_same() -> None:
    """Made from text it has no file, so there is nowhere to keep its machine code beside."""
    made: dict[str, object] = {}
    exec("def twice(x):\n    return 2.0 * x", made)  # noqa: S102  the only way to have no file
    twice = compiled(made["twice"])  # type: ignore[arg-type]
    assert twice(21.0) == 42.0
