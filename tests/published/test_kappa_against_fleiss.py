"""Fleiss' kappa against Fleiss 1971."""

from bitewright.audit.agreement import fleiss
from tests.published.against import check, read_source

SOURCE = read_source("fleiss_1971_kappa")
PATIENTS = (
    "00060 03003 01401 00006 03030 20400 00402 20310 20040 00006 10050 11040 03300 10050 02031 "
    "00501 30012 51000 02040 10203 00006 01050 02013 20040 10041 05010 40002 02040 10500 00006"
)
FOURTEEN = (
    "0 0 0 0 14 / 0 2 6 4 2 / 0 0 3 5 6 / 0 3 9 2 0 / 2 2 8 1 1 / 7 7 0 0 0 / 3 2 6 3 0 / "
    "2 5 3 2 2 / 6 5 2 1 0 / 0 2 2 3 7"
)


def computed() -> dict[str, float]:
    thirty = [[int(digit) for digit in row] for row in PATIENTS.split()]
    ten = [[int(cell) for cell in row.split()] for row in FOURTEEN.split("/")]
    return {
        "kappa of 30 subjects by 6 raters": fleiss(thirty).value,
        "kappa of 10 subjects by 14 raters": fleiss(ten).value,
        "kappa of 2 subjects by 8 raters": fleiss([[7, 1], [3, 5]]).value,
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
