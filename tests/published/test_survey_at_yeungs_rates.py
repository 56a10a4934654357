"""What a small survey says at the reject rates of Yeung and Wong 2021."""

from bitewright.audit.expected_rates import expected_rates
from bitewright.audit.sample_size import survey_power
from tests.published.against import check, read_source

SOURCE = read_source("yeung_wong_2021_rates")


def computed() -> dict[str, float]:
    bitewing, periapical = (expected_rates()[kind].rate for kind in ("bitewing", "periapical"))
    return {
        "chance of at most 4 of 20 periapicals": survey_power(4, 20, periapical).passes,
        "chance of at most 2 of 6 bitewings": survey_power(2, 6, bitewing).passes,
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
