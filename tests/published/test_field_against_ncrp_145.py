"""The largest rectangular field against the 2% rule."""

from bitewright.equipment.catalogue import packaged_catalogue
from tests.published.against import check, read_source
from trials.field_limit import largest_field

SOURCE = read_source("ncrp_145_field")


def computed() -> dict[str, float]:
    film = packaged_catalogue().receptor("film-2")
    found = {}
    for far in (400, 300):
        field = largest_field(
            long_mm=film.outer_long_mm, short_mm=film.outer_short_mm, source_receptor_mm=far
        )
        end = f"of the field for a size 2 receptor, source at {far} mm"
        found |= {f"short side {end}": field.short_mm, f"long side {end}": field.long_mm}
    return found


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
