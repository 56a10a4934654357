"""The displayed film: dark where exposed, bright where not."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import norm

from bitewright.film.blur import gaussian
from bitewright.film.develop import FilmShapeError, develop
from bitewright.film.film_settings import FilmSettings
from bitewright.film.radiograph import Radiograph
from bitewright.film.tone_curves import TONES, ToneCurve

PIXEL_MM = 0.1
SHAPE = (310, 410)
MIDDLE = np.s_[100:200, 150:250]


def uniform(share: float) -> NDArray[np.float32]:
    return np.full(SHAPE, share, np.float32)


def grey(film: Radiograph) -> NDArray[np.float64]:
    """8-bit grey, unrounded."""
    return film.pixels / 257.0


def test_air_is_dark_and_metal_bright() -> None:
    air, metal = (develop(uniform(t), pixel_mm=PIXEL_MM) for t in (1.0, 1e-4))
    assert grey(air)[MIDDLE].max() < 15.0
    assert grey(metal)[MIDDLE].min() > 230.0


def test_the_tone_curve_only_rises_with_attenuation() -> None:
    signal = np.exp(-np.linspace(0.0, 7.0, 200)).astype(np.float32)
    greys = TONES.displayed.grey(signal)
    assert greys[0] == pytest.approx(11.0)
    assert (np.diff(greys) > 0).all()
    assert greys[-1] < 252.0


def test_a_sharpened_signal_gives_metal_a_bright_rim_and_hardly_a_dark_one_beside_it() -> None:
    step = np.full(SHAPE, 0.09)
    step[:, 200:] = 0.01
    film, plain = (
        grey(develop(step, pixel_mm=PIXEL_MM, settings=FilmSettings(rim_share=r, tone=TONES.plate)))
        for r in (0.3, 0.0)
    )
    film, plain = film[150], plain[150]
    up, down = (film - plain).max(), (plain - film).max()
    assert up > 4.0
    assert up > 1.5 * down
    assert np.abs(film - plain)[[100, 300]].max() < 0.5


def test_what_the_beam_misses_is_bright() -> None:
    mask = np.ones(SHAPE)
    mask[:, 300:] = 0.0
    film = grey(develop(uniform(1.0), pixel_mm=PIXEL_MM, beam_mask=mask))
    assert film[150, 150] < 15.0
    assert film[150, 390] > 200.0


def test_corners_outside_the_active_area_are_displayed_dark() -> None:
    film = grey(develop(uniform(0.05), pixel_mm=PIXEL_MM))
    corners = [film[r, c] for r in (0, -1) for c in (0, -1)]
    assert corners == pytest.approx([10.0] * 4)
    sides = [film[155, 0], film[155, -1], film[0, 205], film[-1, 205]]
    assert min(sides) > 100.0


def test_a_square_receptor_keeps_its_corners() -> None:
    settings = FilmSettings(corner_radius_mm=0.0)
    film = grey(develop(uniform(0.05), pixel_mm=PIXEL_MM, settings=settings))
    assert film[0, 0] == pytest.approx(film[155, 205])


def test_the_same_generator_draws_the_same_film() -> None:
    films = [
        develop(uniform(0.2), pixel_mm=PIXEL_MM, generator=np.random.default_rng(n)).pixels
        for n in (4, 4, 5)
    ]
    assert np.array_equal(films[0], films[1])
    assert not np.array_equal(films[0], films[2])


def test_without_a_generator_there_is_no_noise() -> None:
    film = develop(uniform(0.2), pixel_mm=PIXEL_MM)
    assert np.ptp(film.pixels[MIDDLE].astype(int)) == 0


def test_fewer_quanta_are_noisier_by_the_square_root() -> None:
    def deviation(exposure: float) -> float:
        """Relative deviation of the signal, read back through the tone curve."""
        settings = FilmSettings(
            structure_noise=0.0,
            fog=0.0,
            scatter_share=0.0,
            tone=ToneCurve(black=0.0, span=255.0, scale=10.0, power=1.0),
        )
        film = develop(
            uniform(0.2),
            pixel_mm=PIXEL_MM,
            exposure=exposure,
            settings=settings,
            generator=np.random.default_rng(9),
        )
        p = -10.0 * np.log1p(-(film.pixels[MIDDLE] / 65535.0))
        return float(np.exp(-p).std() / np.exp(-p).mean())

    grain = gaussian(FilmSettings().quantum_grain_mm / PIXEL_MM)  # blurred down and across
    expected = float((grain**2).sum()) * (3.0e5 * PIXEL_MM**2 * 0.2) ** -0.5
    assert deviation(1.0) == pytest.approx(expected, rel=0.05)
    assert deviation(0.25) == pytest.approx(2.0 * expected, rel=0.05)


def test_a_readers_own_noise_is_slow_and_the_same_in_bright_and_dark() -> None:
    settings = FilmSettings(reader_noise=1.3, structure_noise=0.0, quanta_per_mm2=1e12)
    deviations = []
    for share in (0.5, 0.1, 0.002):
        film = develop(
            uniform(share),
            pixel_mm=0.03,
            settings=settings,
            generator=np.random.default_rng(4),
        )
        plain = develop(uniform(share), pixel_mm=0.03, settings=settings)
        noise = (grey(film) - grey(plain))[40:-40, 40:-40]
        deviations.append(noise.std())
        beside = np.corrcoef(noise[:, :-1].ravel(), noise[:, 1:].ravel())[0, 1]
        assert beside > 0.9
    assert np.ptp(deviations) < 0.1
    assert 0.6 < deviations[0] < 1.4


def test_under_exposed_is_lighter_and_over_exposed_darker() -> None:
    under, right, over = (
        grey(develop(uniform(0.2), pixel_mm=PIXEL_MM, exposure=e))[155, 205] for e in (0.4, 1, 2.5)
    )
    assert under > right + 20.0 > over + 40.0


def test_scatter_lowers_contrast() -> None:
    step = uniform(1.0)
    step[:, :205] = 0.05
    veiled, clear = (
        grey(develop(step, pixel_mm=PIXEL_MM, settings=FilmSettings(scatter_share=s)))
        for s in (0.3, 0.0)
    )
    contrast = [film[155, 150] - film[155, 260] for film in (veiled, clear)]
    assert contrast[0] < contrast[1] - 10.0


def test_a_larger_focal_spot_blurs_an_edge() -> None:
    step = uniform(1.0)
    step[:, :205] = 0.05
    sharp, blurred = (
        grey(develop(step, pixel_mm=PIXEL_MM, unsharpness_mm=u))[155] for u in (0.0, 1.5)
    )
    assert np.abs(np.diff(sharp)).max() > 2.0 * np.abs(np.diff(blurred)).max()


def test_a_film_says_that_it_is_simulated_and_how() -> None:
    film = develop(uniform(0.5), pixel_mm=PIXEL_MM, exposure=1.2, provenance={"mouth": "made up"})
    assert film.provenance["simulated"] == "true"
    assert film.provenance["mouth"] == "made up"
    assert film.provenance["exposure"] == 1.2
    assert film.provenance["film_scatter_share"] == FilmSettings().scatter_share


def test_nobody_can_pass_a_film_off_as_real() -> None:
    film = develop(uniform(0.5), pixel_mm=PIXEL_MM, provenance={"simulated": "false"})
    assert film.provenance["simulated"] == "true"
    with pytest.raises(TypeError):
        film.provenance["simulated"] = "false"  # type: ignore[index]


def test_pixels_cannot_be_changed() -> None:
    with pytest.raises(ValueError, match="read-only"):
        develop(uniform(0.5), pixel_mm=PIXEL_MM).pixels[0, 0] = 0


def test_the_mask_must_fit() -> None:
    with pytest.raises(FilmShapeError):
        develop(uniform(0.5), pixel_mm=PIXEL_MM, beam_mask=np.ones((4, 4)))


def test_a_film_of_a_few_pixels_is_still_a_film() -> None:
    film = develop(np.ones((3, 2)), pixel_mm=1.0, generator=np.random.default_rng(1))
    assert film.pixels.shape == (3, 2)


def test_a_penumbra_is_as_wide_as_a_uniform_spot_throws_it() -> None:
    """The image of an edge is a ramp as wide, and its slope deviates by the width over root 12."""
    step = uniform(0.2)
    step[:, 205:] = 0.8
    settings = FilmSettings(
        receptor_blur_mm=0.0, scatter_share=0.0, fog=0.0, corner_radius_mm=0.0, is_linear=True
    )
    film = develop(step, pixel_mm=0.02, unsharpness_mm=0.6, settings=settings)
    slope = np.diff(grey(film)[155])
    place = 0.02 * np.arange(len(slope))
    weight = slope / slope.sum()
    deviation = np.sqrt(weight @ (place - weight @ place) ** 2)
    assert deviation == pytest.approx(0.6 / np.sqrt(12.0), rel=0.02)


def test_scatter_and_fog_leave_the_open_beam_as_it_is() -> None:
    """Exposures are set by what reaches the receptor, scatter and all: they share it out."""
    films = [
        develop(
            uniform(1.0),
            pixel_mm=PIXEL_MM,
            settings=FilmSettings(scatter_share=s, fog=f, is_linear=True),
        )
        for s, f in ((0.0, 0.0), (0.3, 0.0), (0.3, 0.05))
    ]
    assert [grey(film)[155, 205] for film in films] == pytest.approx([255.0 / 4.0] * 3, abs=0.01)


def test_scatter_is_a_share_of_the_primary_about_it() -> None:
    """Within a wide dark field: s of the open beam's signal where nothing falls, over 1 + s."""
    step = uniform(1.0)
    step[:, 205:] = 0.0
    settings = FilmSettings(scatter_share=0.3, fog=0.0, scatter_spread_mm=2.0, is_linear=True)
    film = grey(develop(step, pixel_mm=PIXEL_MM, settings=settings)) / (255.0 / 4.0)
    edge = (film[155, 204] + film[155, 205]) / 2.0
    assert edge == pytest.approx((0.5 + 0.3 * 0.5) / 1.3, abs=0.01)
    assert film[155, 225] == pytest.approx(0.3 * norm.sf(1.0) / 1.3, abs=0.003)
