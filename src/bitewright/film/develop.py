"""From transmission to a displayed radiograph: blur, scatter veil, noise, saturation and tone.

The right ingredients in the right order; no model of any receptor or of any maker's processing.
The defaults look like a plate's image: they must not be used to calibrate anything. What it is
done with: `film_settings`; kinds of receptors: `film_kinds`.
"""

from collections.abc import Mapping
from dataclasses import asdict
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.film.blur import between_blocks, block_means, blurred
from bitewright.film.film_faults import (
    exposure_factor,
    with_beam_faults,
    with_surface_faults,
)
from bitewright.film.film_settings import USUAL_CHAIN, FilmSettings
from bitewright.film.radiograph import Radiograph
from bitewright.film.receptor_noise import reader_noise, with_noise
from bitewright.film.tone_curves import WHITE

Image = NDArray[np.float32]

LEVELS_PER_GREY = 257
"""From 8-bit grey to 16-bit: 255 becomes 65535."""

BLOCKS_PER_SIGMA = 6.0
"""A wide blur is made on blocks of its deviation over this."""

RIM_BLOCKS_PER_SIGMA = 2.5
"""One that only makes a rim is made on coarser ones."""

SQUARES_PER_VARIANCE = 12.0
"""The square of an even spread's width, over its variance."""

FULL_SCALE = 4.0
"""A linear picture is white at this multiple of the open beam at exposure 1."""


class FilmShapeError(BitewrightError):
    """The beam mask does not fit the transmission."""

    def __init__(self, transmission: tuple[int, ...], mask: tuple[int, ...]) -> None:
        self.transmission = transmission
        self.mask = mask
        super().__init__(
            f"The transmission is {transmission} (rows, columns) and the beam mask {mask}; "
            "both must be images of the same size. Make the mask on the grid that was filmed."
        )


def develop(
    transmission: NDArray[np.floating],
    *,
    pixel_mm: float,
    beam_mask: NDArray[np.floating] | None = None,
    exposure: float = 1.0,
    unsharpness_mm: float = 0.0,
    settings: FilmSettings | None = None,
    generator: np.random.Generator | None = None,
    provenance: Mapping[str, str | float | int] | None = None,
) -> Radiograph:
    """The displayed film of a transmission image.

    Our model: cut off and moved as faults say, veiled by scatter, blurred, made noisy, displayed;
    then bent, scratched and the like.

    Parameters
    ----------
    transmission : (rows, columns) float array
        Primary signal as a share of the open beam's.
    pixel_mm : float
        [mm]
    beam_mask : (rows, columns) float array or None
        1 inside the beam, 0 outside, between them in the penumbra; None: all inside. What the
        beam misses stays unexposed and is displayed bright (cone cut).
    exposure : float
        Receptor dose over the right one; under 1 the film is lighter and noisier, over 1 darker.
    unsharpness_mm : float
        Width of the penumbra at the depth that matters, for the focal spot's blur. [mm]
    settings : FilmSettings or None
        None: the default ones.
    generator : numpy Generator or None
        Draws the noise; None: no noise.
    provenance : mapping or None
        Added to the film's own.

    Returns
    -------
    Radiograph

    Raises
    ------
    FilmShapeError
        If the mask does not fit the transmission.
    """
    settings = settings or FilmSettings()
    primary = np.asarray(transmission, dtype=np.float32)
    if beam_mask is not None:
        if primary.ndim != 2 or beam_mask.shape != primary.shape:
            raise FilmShapeError(primary.shape, beam_mask.shape)
        primary = primary * np.asarray(beam_mask, dtype=np.float32)
    exposure *= exposure_factor(settings.faults)
    primary = with_beam_faults(primary, pixel_mm, settings.faults)
    signal = _with_scatter(exposure * primary, pixel_mm, settings)
    signal = blurred(signal, _blur_sigma_mm(settings, unsharpness_mm) / pixel_mm)
    if generator is not None:
        signal = with_noise(signal, pixel_mm, settings, generator)
    grey = _displayed(signal, pixel_mm, exposure, settings)
    if generator is not None and settings.reader_noise and not settings.is_linear:
        grey += reader_noise(grey.shape, pixel_mm, settings, generator)
    lying = np.random.default_rng(settings.fault_seed)
    grey = with_surface_faults(grey, pixel_mm, settings.faults, lying)
    grey[outside_active_area(grey.shape, settings.corner_radius_mm / pixel_mm)] = (
        settings.outside_grey
    )
    pixels = np.rint(np.clip(grey, 0.0, WHITE) * LEVELS_PER_GREY).astype(np.uint16)
    facts = _provenance(settings, exposure, unsharpness_mm, noisy=generator is not None)
    return Radiograph(pixels=pixels, pixel_mm=pixel_mm, provenance={**(provenance or {}), **facts})


def _displayed(signal: Image, pixel_mm: float, exposure: float, settings: FilmSettings) -> Image:
    """Grey as displayed: full pixels cut off, the display's scaling, tone and look."""
    kept = np.minimum(signal, np.float32(settings.saturation))
    if settings.is_linear:
        return np.asarray(kept * np.float32(WHITE / FULL_SCALE), dtype=np.float32)
    if settings.scales_itself:
        kept = kept / np.float32(min(exposure, settings.saturation))
    if settings.rim_share:
        smooth = _blurred_widely(kept, settings.rim_mm / pixel_mm, RIM_BLOCKS_PER_SIGMA)
        sharp = kept + np.float32(settings.rim_share) * (kept - smooth)
        kept = np.maximum(sharp, np.float32(USUAL_CHAIN.least_rim_share) * kept)
    grey = settings.tone.grey(kept)
    if settings.contrast != 1.0:
        share = np.clip(grey / WHITE, 0.0, 1.0) ** settings.contrast
        grey = np.asarray(WHITE * share, dtype=np.float32)
    if settings.sharpen_share:
        smooth = _blurred_widely(grey, settings.sharpen_mm / pixel_mm)
        grey = np.asarray(grey + settings.sharpen_share * (grey - smooth), dtype=np.float32)
    return grey


@lru_cache(maxsize=4)
def outside_active_area(shape: tuple[int, ...], radius_px: float) -> NDArray[np.bool_]:
    """True in the corners that rounding cuts off, an array of this shape (rows, columns)."""
    into = [
        np.maximum(radius_px - 0.5 - np.minimum(np.arange(n), np.arange(n)[::-1]), 0.0)
        for n in shape
    ]
    outside = np.asarray(np.hypot(into[0][:, None], into[1][None, :]) > radius_px)
    outside.flags.writeable = False
    return outside


def _with_scatter(primary: Image, pixel_mm: float, settings: FilmSettings) -> Image:
    share = settings.scatter_share
    veil = _blurred_widely(primary, settings.scatter_spread_mm / pixel_mm)
    signal = (primary + share * veil + settings.fog) / (1.0 + share + settings.fog)
    return np.asarray(signal, dtype=np.float32)


def _blur_sigma_mm(settings: FilmSettings, unsharpness_mm: float) -> float:
    """Receptor and focal spot together; the spot is taken as evenly bright."""
    spot_mm = unsharpness_mm / np.sqrt(SQUARES_PER_VARIANCE)
    return float(np.hypot(settings.receptor_blur_mm, spot_mm))


def _blurred_widely(
    image: Image, sigma_px: float, blocks_per_sigma: float = BLOCKS_PER_SIGMA
) -> Image:
    """A blur of many pixels, done on block means and interpolated back: quick, and as smooth."""
    block = max(int(sigma_px / blocks_per_sigma), 1)
    coarse = blurred(block_means(image, block), sigma_px / block)
    return between_blocks(coarse, block, image.shape)


def _provenance(
    settings: FilmSettings, exposure: float, unsharpness_mm: float, *, noisy: bool
) -> dict[str, str | float | int]:
    numbers = asdict(settings)
    tone = numbers.pop("tone")
    del numbers["faults"]
    said = " ".join(f"{fault.name.value}={fault.size:g}" for fault in settings.faults)
    return {
        "simulated": "true",
        "exposure": exposure,
        "unsharpness_mm": unsharpness_mm,
        "noise": "drawn" if noisy else "none",
        "faults": said or "none",
        **{f"film_{name}": value for name, value in numbers.items()},
        **{f"tone_{name}": value for name, value in tone.items()},
    }


__all__ = ["FULL_SCALE", "FilmShapeError", "develop", "outside_active_area"]
