"""How strongly the elements attenuate, from a table of published splines."""

import csv
from functools import lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError

Floats = NDArray[np.float64]

ELEMENT_COLUMNS = (
    "element",
    "process",
    "log_energy_ev",
    "log_cm2_g",
    "second_derivative",
)
PROCESSES = ("photo", "coherent", "incoherent")


class UnknownElementError(BitewrightError):
    """A material holds an element that the packaged table does not."""

    def __init__(self, symbol: str, known: tuple[str, ...]) -> None:
        self.symbol = symbol
        self.known = known
        super().__init__(
            f"There is no attenuation of the element {symbol!r} here; the table holds "
            f"{', '.join(known)}. Choose one of these, written as in the periodic table."
        )


def element_cm2_g(symbol: str, energies_kev: Floats) -> Floats:
    """Mass attenuation coefficient, coherent scatter included.

    Parameters
    ----------
    symbol : str
    energies_kev : (n,) float array
        Photon energies, 1 to 200. [keV]

    Returns
    -------
    (n,) float array
        [cm2/g]

    Raises
    ------
    UnknownElementError
        If the table holds no such element.

    Source: cubic splines in logarithms of Elam, Ravel, Sieber (Radiat Phys Chem 2002;63:121-8,
    https://doi.org/10.1016/S0969-806X(01)00227-4), as xraydb keeps them.
    """
    table = _splines()
    if symbol not in table:
        raise UnknownElementError(symbol, tuple(table))
    log_energies = np.log(energies_kev * 1000.0)
    total = np.zeros_like(log_energies)
    for process in PROCESSES:
        total += np.exp(_on_spline(table[symbol][process], log_energies))
    return total


def _on_spline(knots: Floats, at: Floats) -> Floats:
    """Value of a cubic spline with these knots, values and second derivatives, (K, 3)."""
    x, y, bends = knots.T
    above = np.clip(np.searchsorted(x, at), 1, len(x) - 1)
    below = above - 1
    step = x[above] - x[below]
    a = (x[above] - at) / step
    b = (at - x[below]) / step
    bent = (a * a - 1.0) * a * bends[below] + (b * b - 1.0) * b * bends[above]
    return np.asarray(a * y[below] + b * y[above] + (step * step / 6.0) * bent)


@lru_cache(maxsize=1)
def _splines() -> dict[str, dict[str, Floats]]:
    """Knots (K, 3) by element and process; two at one energy stand on either side of an edge."""
    text = files("bitewright.physics").joinpath("tables/elements.csv").read_text("utf-8")
    rows = csv.reader(text.splitlines())
    next(rows)
    found: dict[str, dict[str, list[list[float]]]] = {}
    for symbol, process, *numbers in rows:
        knots = found.setdefault(symbol, {}).setdefault(process, [])
        knots.append([float(number) for number in numbers])
    return {
        symbol: {process: np.array(knots) for process, knots in processes.items()}
        for symbol, processes in found.items()
    }


__all__ = ["ELEMENT_COLUMNS", "PROCESSES", "UnknownElementError", "element_cm2_g"]
