"""Write the physics tables that spare Bitewright the libraries their numbers come from.

Run ``python -m builders.physics_tables`` in the top folder of the project after a change of
spekpy, of xraydb or of the elements in the packaged materials; a test tells when that is due. It
takes some ten minutes. Films change with the usual spectra: their table is written only when asked
for, by ``--usual``.
"""

import csv
import json
import sys
from itertools import product
from pathlib import Path

import numpy as np
import spekpy
import xraydb
from numpy.typing import NDArray

from bitewright.physics.elements import ELEMENT_COLUMNS
from bitewright.physics.kept_spectra import SPECTRUM_COLUMNS
from bitewright.physics.materials import packaged_materials
from bitewright.physics.spectrum import BIN_WIDTH_KEV, LOWEST_ENERGY_KEV, NEGLIGIBLE_SHARE

FOLDER = Path(__file__).resolve().parents[1] / "src" / "bitewright" / "physics" / "tables"
USUAL_VOLTAGES_KV = (60.0, 63.0, 65.0, 66.0, 70.0)
USUAL_FILTRATIONS_MM_AL = (1.5, 2.0, 2.5)
USUAL_TARGET_ANGLE_DEG = 20.0
VOLTAGES_KV = range(40, 101)
TARGET_ANGLES_DEG = (5.0, 7.0, 10.0, 14.0, 20.0, 30.0, 45.0)  # even steps of the sine's logarithm
ENERGIES_KEV = tuple(0.5 + whole for whole in range(5, 100))
LOWEST_EV, HIGHEST_EV = 1_000.0, 200_000.0
Floats = NDArray[np.float64]


def main() -> None:
    """Write the tables."""
    if "--usual" in sys.argv:
        write("usual_spectra.csv", SPECTRUM_COLUMNS, usual_spectra())
    write("elements.csv", ELEMENT_COLUMNS, splines())
    write("filter_aluminium.csv", ("energy_kev", "attenuation_per_mm"), aluminium())
    heading = ("kv", "target_angle_deg", *(f"{energy:g}_kev" for energy in ENERGIES_KEV))
    write("unfiltered_spectra.csv", heading, unfiltered_spectra())


def usual_spectra() -> list[list[object]]:
    """Photons of usual tubes, a row for each energy."""
    rows: list[list[object]] = []
    for kv, filtration in product(USUAL_VOLTAGES_KV, USUAL_FILTRATIONS_MM_AL):
        tube = (kv, USUAL_TARGET_ANGLE_DEG, filtration)
        energies, photons = spectrum_from_source(*tube)
        rows += [[*tube, *pair] for pair in zip(energies.tolist(), photons.tolist(), strict=True)]
    return rows


def unfiltered_spectra() -> list[list[object]]:
    """Photons of tubes without a filter, a row for each voltage and angle, to six figures."""
    rows: list[list[object]] = []
    for kv, angle in product(VOLTAGES_KV, TARGET_ANGLES_DEG):
        energies, photons = _from_spekpy(float(kv), angle, 0.0)
        by_energy = dict(zip(energies.tolist(), photons.tolist(), strict=True))
        found = (by_energy.get(energy, 0.0) for energy in ENERGIES_KEV)
        rows.append([kv, f"{angle:g}", *(short(each) for each in found)])
    return rows


def aluminium() -> list[list[object]]:
    """What a millimetre of aluminium takes in the tube model, a row for each energy."""
    energies, bare = _from_spekpy(100.0, USUAL_TARGET_ANGLE_DEG, 0.0)
    _, behind = _from_spekpy(100.0, USUAL_TARGET_ANGLE_DEG, 1.0)
    per_mm = dict(zip(energies.tolist(), np.log(bare / behind).tolist(), strict=True))
    return [[energy, per_mm[energy]] for energy in ENERGIES_KEV]


def spectrum_from_source(
    kv: float,
    target_angle_deg: float,
    filtration_mm_al: float,
    *,
    bin_width_kev: float = BIN_WIDTH_KEV,
) -> tuple[Floats, Floats]:
    """Energies and photons as `bitewright.physics.spectrum.tube_spectrum`, by SpekPy itself."""
    energies, photons = _from_spekpy(kv, target_angle_deg, filtration_mm_al, bin_width_kev)
    kept = photons > NEGLIGIBLE_SHARE * photons.sum()
    kept &= energies >= LOWEST_ENERGY_KEV
    return energies[kept], photons[kept]


def _from_spekpy(
    kv: float, angle_deg: float, filtration_mm_al: float, bin_width_kev: float = BIN_WIDTH_KEV
) -> tuple[Floats, Floats]:
    tube = spekpy.Spek(kvp=kv, th=angle_deg, dk=bin_width_kev)
    if filtration_mm_al:
        tube.filter("Al", filtration_mm_al)
    energies_kev, photons_per_kev = tube.get_spectrum(edges=False)
    return energies_kev, photons_per_kev * bin_width_kev


def splines() -> list[list[object]]:
    """Knots of every element of the packaged materials, and one on either side of them."""
    rows: list[list[object]] = []
    for symbol in elements():
        photo = _kept(symbol, "photoabsorption")
        scattering = _kept(symbol, "scattering")
        for process, table, column in (
            ("photo", photo, "log_photoabsorption"),
            ("coherent", scattering, "log_coherent_scatter"),
            ("incoherent", scattering, "log_incoherent_scatter"),
        ):
            x, y, bends = (
                json.loads(getattr(table, name))
                for name in ("log_energy", column, f"{column}_spline")
            )
            first = int(np.searchsorted(x, np.log(LOWEST_EV))) - 1
            last = int(np.searchsorted(x, np.log(HIGHEST_EV), side="right")) + 1
            rows += [[symbol, process, x[k], y[k], bends[k]] for k in range(first, last)]
    return rows


def _kept(symbol: str, table: str) -> object:
    return xraydb.get_xraydb().get_cache(table, column="element", value=symbol)[0]


def element_from_source_cm2_g(symbol: str, energies_kev: Floats) -> Floats:
    """Mass attenuation of an element by xraydb itself. [cm2/g]"""
    found = xraydb.mu_elam(symbol, energies_kev * 1000.0, kind="total")
    return np.asarray(found, dtype=np.float64)


def elements() -> tuple[str, ...]:
    """Symbols of all elements in packaged materials."""
    made_of = packaged_materials().values()
    return tuple(sorted({symbol for part in made_of for symbol, _ in part.mass_fractions}))


def short(photons: float) -> str:
    """Six figures, without an exponent."""
    return np.format_float_positional(float(f"{photons:.5e}"), trim="-")


def write(name: str, heading: tuple[str, ...], rows: list[list[object]]) -> None:
    """One table, numbers as short as they come back whole."""
    with (FOLDER / name).open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(heading)
        table.writerows(rows)
    print(f"wrote {FOLDER / name}")


if __name__ == "__main__":
    main()
