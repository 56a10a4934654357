"""What mAs gives, and what it does to films, plates and sensors."""

import tomllib
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.errors import BitewrightError
from bitewright.film.develop import develop
from bitewright.film.film_kinds import (
    Handling,
    exposing,
    film_settings,
    kerma_per_mas_mgy,
    look_names,
)
from bitewright.physics.materials import material
from bitewright.physics.spectrum import tube_spectrum

KNOWN = packaged_catalogue()
TUBE = KNOWN.tube("rectangular-300")
PIXEL_MM = 0.03


def grey_of(receptor: str, share: float, *, mas: float | None = None, seed: int = 4) -> np.ndarray:
    """A flat field behind something that lets a share through, in 8-bit grey."""
    of = KNOWN.receptor(receptor)
    dose = exposing(TUBE, of, end_to_receptor_mm=60.0, mas=mas)
    settings = film_settings(of, quanta_per_mm2=dose.quanta_per_mm2)
    film = develop(
        np.full((400, 400), share),
        pixel_mm=PIXEL_MM,
        exposure=dose.exposure,
        settings=settings,
        generator=np.random.default_rng(seed),
    )
    return film.pixels[100:300, 100:300] / 257.0


def test_kerma_follows_mas_and_the_inverse_square_law() -> None:
    of = KNOWN.receptor("plate-2")
    one, two = (exposing(TUBE, of, end_to_receptor_mm=60.0, mas=mas) for mas in (1.0, 2.0))
    assert two.kerma_at_end_mgy == pytest.approx(2 * one.kerma_at_end_mgy)
    near = exposing(KNOWN.tube("round-200"), of, end_to_receptor_mm=60.0, mas=1.0)
    far = exposing(KNOWN.tube("round-300"), of, end_to_receptor_mm=60.0, mas=1.0)
    assert near.kerma_at_end_mgy / far.kerma_at_end_mgy == pytest.approx((300 / 200) ** 2, rel=1e-6)


def test_output_is_that_of_dental_tubes() -> None:
    """Common practice, no source: 0.3 to 1.5 mGy at the end of a long cone for 1 mAs at 65 kV."""
    dose = exposing(TUBE, KNOWN.receptor("film-2"), end_to_receptor_mm=60.0, mas=1.0)
    assert 0.3 < dose.kerma_at_end_mgy < 1.5


def test_four_times_the_mas_halve_the_noise() -> None:
    """Quanta: relative noise goes with one over the root of their number."""
    of = KNOWN.receptor("sensor-2")

    def noise(mas: float) -> float:
        dose = exposing(TUBE, of, end_to_receptor_mm=60.0, mas=mas)
        made = film_settings(of, quanta_per_mm2=dose.quanta_per_mm2)
        flat = develop(
            np.full((500, 500), 0.1),
            pixel_mm=PIXEL_MM,
            exposure=dose.exposure,
            settings=replace(made, structure_noise=0.0, is_linear=True),
            generator=np.random.default_rng(2),
        ).pixels[60:440, 60:440]
        return float(flat.std() / flat.mean())

    assert noise(0.4) / noise(1.6) == pytest.approx(2.0, rel=0.04)


def test_more_filtration_hardens() -> None:
    means = [tube_spectrum(65, filtration_mm_al=mm).mean_energy_kev for mm in (1.5, 2.0, 2.5)]
    assert means == sorted(means)
    assert means[0] < means[-1]


def test_wrong_exposure_darkens_film_but_not_a_digital_display() -> None:
    film = [grey_of("film-2", 0.2, mas=mas).mean() for mas in (0.5, None, 6.0)]
    assert film[0] > film[1] + 20 > film[2] + 40
    plate = [grey_of("plate-2", 0.2, mas=mas) for mas in (0.3, None, 4.0)]
    assert np.ptp([each.mean() for each in plate]) < 6.0
    assert plate[0].std() > 1.5 * plate[1].std()


def test_an_over_exposed_sensor_burns_out_thin_parts() -> None:
    thin, thinner = (grey_of("sensor-2", share, mas=6.0) for share in (0.6, 0.9))
    assert thin.mean() == pytest.approx(thinner.mean(), abs=0.5)
    right = [grey_of("sensor-2", share) for share in (0.6, 0.9)]
    assert right[0].mean() > right[1].mean() + 5


@pytest.mark.parametrize("look", look_names())
def test_every_look_is_a_picture(look: str) -> None:
    of = KNOWN.receptor("sensor-2")
    settings = film_settings(of, quanta_per_mm2=1e6, handling=Handling(look=look))
    share = np.tile(np.linspace(0.05, 1.0, 200), (100, 1))
    film = develop(share, pixel_mm=0.1, settings=settings)
    middle = film.pixels[50].astype(float)
    assert middle[10] > middle[100] > middle[190]


@pytest.mark.parametrize("mas", [0.0, -1.0, float("nan"), 1e6])
def test_impossible_mas_is_refused(mas: float) -> None:
    with pytest.raises(BitewrightError, match=r"from 0\.01 to 100"):
        exposing(TUBE, KNOWN.receptor("film-2"), end_to_receptor_mm=60.0, mas=mas)


def test_unknown_look_is_refused() -> None:
    with pytest.raises(BitewrightError, match="one of plain, crisp"):
        film_settings(KNOWN.receptor("film-2"), quanta_per_mm2=1e6, handling=Handling(look="magic"))


def test_quanta_of_a_hard_beam_are_those_of_the_standard() -> None:
    """IEC 62220-1 (from memory): 30174 quanta a square millimetre and microgray for its RQA 5.

    That is 70 kV with 21 mm of aluminium besides; its tube and anode are not ours.
    """
    spectrum = tube_spectrum(70.0, filtration_mm_al=2.5).filtered(material("aluminium"), 21.0)
    kerma_ugy = 1000.0 * kerma_per_mas_mgy(spectrum, 1000.0)
    per_mm2 = spectrum.photons_per_cm2_mas.sum() / 100.0
    assert per_mm2 / kerma_ugy == pytest.approx(30174, rel=0.03)


@pytest.mark.parametrize("receptor", ["film-2", "plate-2", "sensor-2"])
def test_quanta_are_those_of_the_right_kerma_as_it_is_at_the_receptor(receptor: str) -> None:
    """A share of so many quanta a microgray, fewer by the square of the distance."""
    of = KNOWN.receptor(receptor)
    near, far = (exposing(TUBE, of, end_to_receptor_mm=mm) for mm in (0.0, 60.0))
    reach = TUBE.source_to_end_mm
    assert far.quanta_per_mm2 / near.quanta_per_mm2 == pytest.approx((reach / (reach + 60.0)) ** 2)
    spectrum = tube_spectrum(
        TUBE.kv, target_angle_deg=TUBE.target_angle_deg, filtration_mm_al=TUBE.filtration_mm_al
    )
    per_mm2 = spectrum.photons_per_cm2_mas.sum() / 100.0
    per_ugy = per_mm2 / (1000.0 * kerma_per_mas_mgy(spectrum, 1000.0))
    share = near.quanta_per_mm2 / (1000.0 * near.kerma_at_end_mgy * per_ugy)
    text = files("bitewright.film").joinpath("tables/film_kinds.toml").read_text("utf-8")
    assert share == pytest.approx(tomllib.loads(text)[of.kind.value]["detection_share"]["value"])
    assert near.exposure == 1.0
