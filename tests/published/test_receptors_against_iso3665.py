"""Packaged receptors against the published film sizes, and against the whole table of receptors."""

import csv
from pathlib import Path

import pytest

from bitewright.equipment import Receptor, ReceptorKind, packaged_catalogue
from tests.published.against import check, read_source

SOURCE = read_source("iso3665_film_sizes")
KINDS = {"film": ReceptorKind.FILM, "psp": ReceptorKind.PLATE, "solid_state": ReceptorKind.SENSOR}
OCCLUSAL = "4"


def computed() -> dict[str, float]:
    films = [packaged_catalogue().receptor(f"film-{size}") for size in range(4)]
    sides = {f"film size {film.size}, short side": film.outer_short_mm for film in films}
    return sides | {f"film size {film.size}, long side": film.outer_long_mm for film in films}


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())


@pytest.mark.parametrize("kind", ["film", "plate"])
@pytest.mark.parametrize("size", range(4))
def test_all_of_a_film_or_plate_records(kind: str, size: int) -> None:
    receptor = packaged_catalogue().receptor(f"{kind}-{size}")
    active = (receptor.active_long_mm, receptor.active_short_mm)
    assert active == (receptor.outer_long_mm, receptor.outer_short_mm)


@pytest.mark.parametrize("size", range(3))
def test_a_sensor_records_less_than_film_of_its_label(size: int) -> None:
    """Al-Rawi and Teich 2013: so for every sensor measured."""
    sensor, film = (packaged_catalogue().receptor(f"{kind}-{size}") for kind in ("sensor", "film"))
    assert sensor.active_long_mm < film.active_long_mm
    assert sensor.active_short_mm < film.active_short_mm


def test_a_size_2_sensor_loses_a_quarter_of_the_film() -> None:
    """Derived in the source: 1271 - 936 = 335 mm2, 26%."""
    sensor, film = (packaged_catalogue().receptor(name) for name in ("sensor-2", "film-2"))
    lost = 1 - area_mm2(sensor) / area_mm2(film)
    assert lost == pytest.approx(0.26, abs=0.005)


def area_mm2(receptor: Receptor) -> float:
    return receptor.active_long_mm * receptor.active_short_mm


@pytest.mark.realdata
def test_every_row_of_the_receptor_table_is_packaged(shared_data: Path) -> None:
    table = (shared_data / "facts" / "receptors.csv").read_text(encoding="utf-8")
    rows = [row for row in csv.DictReader(table.splitlines()) if row["size"] != OCCLUSAL]
    assert len(rows) == len(packaged_catalogue().receptors)
    for row in rows:
        receptor = packaged_catalogue().receptor(f"{KINDS[row['type']].value}-{row['size']}")
        for side in ("outer_short_mm", "outer_long_mm", "active_short_mm", "active_long_mm"):
            assert getattr(receptor, side) == float(row[side]), f"{receptor.name} {side}"
        if row["thickness_min_mm"]:
            least, most = float(row["thickness_min_mm"]), float(row["thickness_max_mm"])
            assert least <= receptor.thickness_mm <= most, receptor.name
