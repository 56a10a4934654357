"""Write the physics tables that spare usual beams the wait for the libraries they come from.

Run ``python -m builders.physics_tables`` in the top folder of the project after a change of
spekpy, of xraydb or of the elements in the packaged materials; a test tells when that is due.
"""

import csv
from itertools import product
from pathlib import Path

from bitewright.physics.attenuation import element_from_source_cm2_g
from bitewright.physics.detector import packaged_detectors
from bitewright.physics.kept_tables import SPECTRUM_COLUMNS
from bitewright.physics.materials import packaged_materials
from bitewright.physics.spectrum import spectrum_from_source

FOLDER = Path(__file__).resolve().parents[1] / "src" / "bitewright" / "physics" / "tables"
VOLTAGES_KV = (60.0, 63.0, 65.0, 66.0, 70.0)
FILTRATIONS_MM_AL = (1.5, 2.0, 2.5)
TARGET_ANGLE_DEG = 20.0
ENERGIES_KEV = tuple(0.5 + whole for whole in range(5, 70))


def main() -> None:
    """Write both tables."""
    write("usual_spectra.csv", SPECTRUM_COLUMNS, spectra())
    write("elements.csv", ("energy_kev", *elements()), coefficients())


def spectra() -> list[list[float]]:
    """Photons of usual tubes, a row for each energy."""
    rows = []
    for kv, filtration in product(VOLTAGES_KV, FILTRATIONS_MM_AL):
        tube = (kv, TARGET_ANGLE_DEG, filtration)
        found = spectrum_from_source(*tube)
        rows += [
            [*tube, energy, photons]
            for energy, photons in zip(
                found.energies_kev.tolist(), found.photons_per_cm2_mas.tolist(), strict=True
            )
        ]
    return rows


def coefficients() -> list[list[float]]:
    """Mass attenuation of every element of the packaged materials, a row for each energy."""
    columns = [element_from_source_cm2_g(symbol, ENERGIES_KEV).tolist() for symbol in elements()]
    return [list(row) for row in zip(ENERGIES_KEV, *columns, strict=True)]


def elements() -> tuple[str, ...]:
    """Symbols of all elements in packaged materials and detectors."""
    made_of = [*packaged_materials().values()]
    made_of += [each.material for each in packaged_detectors().values()]
    return tuple(sorted({symbol for part in made_of for symbol, _ in part.mass_fractions}))


def write(name: str, heading: tuple[str, ...], rows: list[list[float]]) -> None:
    """One table, numbers as short as they come back whole."""
    with (FOLDER / name).open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(heading)
        table.writerows(rows)
    print(f"wrote {FOLDER / name}")


if __name__ == "__main__":
    main()
