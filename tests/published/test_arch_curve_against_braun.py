"""The beta arch against its published shape."""

from bitewright.mouth.arch_curve import beta_depth_mm
from tests.published.against import check, read_source

SOURCE = read_source("braun_beta_arch")
PLACES = {
    "depth at the midline over D": 0.0,
    "depth at W/8 over D": 1 / 8,
    "depth at W/4 over D": 1 / 4,
    "depth at 3W/8 over D": 3 / 8,
    "depth at W/2 over D": 1 / 2,
}


def computed() -> dict[str, float]:
    width, depth = 53.5, 42.0
    return {
        name: float(beta_depth_mm(share * width, width_mm=width, depth_mm=depth)) / depth
        for name, share in PLACES.items()
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
