"""Faults do to a film what the trade knows of them (common practice, no source)."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.receptors import ReceptorKind
from bitewright.errors import BitewrightError
from bitewright.film.develop import develop
from bitewright.film.film_faults import (
    POSSIBLE,
    FaultName,
    FilmFault,
    checked_faults,
    exposure_factor,
    fault_from_text,
)
from bitewright.film.film_kinds import Handling, film_settings
from bitewright.film.film_settings import FilmSettings

PIXEL_MM = 0.1
SHAPE = (310, 410)


def scene() -> np.ndarray:
    """A block with sharp edges, off the middle, in air."""
    share = np.full(SHAPE, 0.9)
    share[60:200, 90:180] = 0.12
    return share


def film(*faults: FilmFault, settings: FilmSettings | None = None) -> np.ndarray:
    own = replace(settings or FilmSettings(), faults=faults)
    made = develop(scene(), pixel_mm=PIXEL_MM, settings=own)
    assert "simulated" in made.provenance
    return made.pixels / 257.0


PLAIN = film()


@pytest.mark.parametrize("name", FaultName)
def test_every_fault_is_seen_and_grows_with_its_size(name: FaultName) -> None:
    settings = film_settings(packaged_catalogue().receptor("film-2"), quanta_per_mm2=1e6)
    plain = film(settings=settings)
    changes = [
        np.abs(film(FilmFault(name=name, size=size), settings=settings) - plain).mean()
        for size in (0.5, 2.0)
    ]
    assert changes[0] > 0.02
    assert changes[1] > changes[0]


def test_cone_cut_leaves_a_clear_part_on_one_side() -> None:
    cut = film(FilmFault(name=FaultName.CONE_CUT_RECTANGULAR))
    assert cut[150, -8] > 200 > PLAIN[150, -8]
    assert cut[150, 20] == pytest.approx(PLAIN[150, 20], abs=8)


def test_movement_softens_edges_only() -> None:
    moved = film(FilmFault(name=FaultName.MOVEMENT))
    assert np.abs(np.diff(moved[130])).max() < 0.7 * np.abs(np.diff(PLAIN[130])).max()
    assert moved[130, 140] == pytest.approx(PLAIN[130, 140], abs=3)


def test_a_reversed_film_is_mirrored_and_pale() -> None:
    turned = film(FilmFault(name=FaultName.REVERSED))
    block, air = turned[130, -140], turned[130, 140]
    assert block > air, "the block lies on the other side"
    assert turned[40:270, 60:350].mean() > PLAIN[40:270, 60:350].mean() + 20


def test_double_exposure_shows_both_and_is_dark() -> None:
    settings = film_settings(packaged_catalogue().receptor("film-2"), quanta_per_mm2=1e6)
    twice = film(FilmFault(name=FaultName.DOUBLE_EXPOSURE), settings=settings)
    assert twice.mean() < film(settings=settings).mean()


def test_faults_are_told_in_the_films_provenance() -> None:
    settings = FilmSettings(faults=(FilmFault(name=FaultName.BENT, size=2.0),))
    assert develop(scene(), pixel_mm=PIXEL_MM, settings=settings).provenance["faults"] == "bent=2"


def test_a_rigid_sensor_cannot_be_bent_or_reversed() -> None:
    for name in (FaultName.BENT, FaultName.REVERSED, FaultName.LIGHT_LEAK):
        assert ReceptorKind.SENSOR not in POSSIBLE[name]
        with pytest.raises(BitewrightError, match="A sensor cannot have the fault"):
            checked_faults((FilmFault(name=name),), ReceptorKind.SENSOR)
    sensor = packaged_catalogue().receptor("sensor-2")
    bent = Handling(faults=(FilmFault(name=FaultName.BENT),))
    with pytest.raises(BitewrightError, match="a film or plate can"):
        film_settings(sensor, quanta_per_mm2=1e6, handling=bent)


@pytest.mark.parametrize("text", ["kink", "bent=", "bent=x", "bent=9", "movement=nan"])
def test_unknown_faults_and_sizes_are_refused(text: str) -> None:
    if text == "bent=":
        assert fault_from_text(text) == FilmFault(name=FaultName.BENT)
        return
    with pytest.raises(BitewrightError, match="is not known: give one of"):
        fault_from_text(text)


def test_a_fault_is_written_as_a_person_says_it() -> None:
    assert fault_from_text("movement=1.5") == FilmFault(name=FaultName.MOVEMENT, size=1.5)


def test_wrong_exposures_multiply_the_dose() -> None:
    """Under by less than one, over by more; twice the size is twice the fault."""
    for name, is_over in ((FaultName.UNDER_EXPOSURE, False), (FaultName.OVER_EXPOSURE, True)):
        once, twice = (exposure_factor((FilmFault(name=name, size=size),)) for size in (1.0, 2.0))
        assert (once > 1.0) == is_over
        assert twice == pytest.approx(once**2)
    both = (FilmFault(name=FaultName.UNDER_EXPOSURE), FilmFault(name=FaultName.MOVEMENT))
    assert exposure_factor(both) == exposure_factor(both[:1])
    assert exposure_factor(()) == 1.0
