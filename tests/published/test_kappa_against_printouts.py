"""Cohen's kappa, plain and weighted, against published examples."""

from bitewright.audit.agreement import cohen
from tests.published.against import check, read_source

SOURCE = read_source("kappa_examples")


def computed() -> dict[str, float]:
    hundred = cohen([[75, 1, 4], [5, 4, 1], [0, 0, 10]])
    nineteen = [[0, 4, 1], [0, 8, 0], [0, 1, 5]]
    plain, weighted = cohen(nineteen), cohen(nineteen, weighted=True)
    return {
        "kappa of 100 by two raters": hundred.value,
        "its standard error": hundred.sd,
        "its standard error under chance": hundred.null_sd,
        "kappa of 50 by two raters": cohen([[20, 5], [10, 15]]).value,
        "kappa of 19 by two raters": plain.value,
        "standard error of 19": plain.sd,
        "standard error under chance of 19": plain.null_sd,
        "weighted kappa of 19": weighted.value,
        "standard error of the weighted kappa of 19": weighted.sd,
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
