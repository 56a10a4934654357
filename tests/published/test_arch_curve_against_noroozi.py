"""The sixth-order arch against its published equation."""

from bitewright.mouth.arch_curve import polynomial_coefficients
from tests.published.against import check, read_source

SOURCE = read_source("noroozi_polynomial_arch")


def computed() -> dict[str, float]:
    a, b = polynomial_coefficients(canine_mm=(17.7, 8.0), molar_mm=(26.9, 31.6))
    points = "(17.7, 8.0) and (26.9, 31.6)"
    return {f"A through {points}": a, f"B through {points}": b}


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
