"""Exposures brought together: one seat for many aims, and what does not fit."""

import numpy as np

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import aimed, expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import Seat, seat
from tests.scenes import station_of


def test_one_seat_serves_many_aims_unchanged() -> None:
    at = station_of("right-premolar", "sensor-2")
    seated = seat(at.seating, Placement(lingual_mm=2.0, height_mm=1.5, turn_deg=3.0))
    assert seated.upper_gap_mm[0] != seated.lower_gap_mm[0]
    many = aimed(at, seated, Aim(vertical_deg=np.array([0.0, 5.0, 10.0])))
    assert len(many) == 3
    for name in Seat.__slots__:
        one, repeated = getattr(seated, name), getattr(many.seat, name)
        assert (repeated == one[0]).all(), name


def test_repeated_exposures_follow_one_another() -> None:
    aims = Aim(vertical_deg=np.array([0.0, 8.0]))
    pair = expose(station_of(), Placement(lingual_mm=5.0), aims)
    many = pair.repeated(2)
    order = [0, 0, 1, 1]
    assert (many.beam.rays_mouth == pair.beam.rays_mouth[order]).all()
    assert (many.seat.centres_mouth == pair.seat.centres_mouth[order]).all()


def test_an_upright_receptor_is_as_wide_as_its_short_side() -> None:
    flat, upright = (station_of(name, "film-2") for name in ("left-molar", "left-molar-vertical"))
    long, short = flat.receptor.active_long_mm, flat.receptor.active_short_mm
    assert (2 * flat.half_width_mm, 2 * flat.half_height_mm) == (long, short)
    assert (2 * upright.half_width_mm, 2 * upright.half_height_mm) == (short, long)
