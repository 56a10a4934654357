"""From transmission to a displayed radiograph: blur, scatter veil, noise, saturation and tone.

The right ingredients in the right order; no model of any receptor or of any maker's processing.
The defaults look like a plate's image and were fitted by eye to one real one: they must not be
used to calibrate anything. Kinds of receptors: `film_kinds`.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.film.blur import between_blocks, block_means, blurred, gaussian
from bitewright.film.film_faults import (
    FilmFault,
    exposure_factor,
    with_beam_faults,
    with_surface_faults,
)
from bitewright.film.radiograph import Radiograph

Image = NDArray[np.float32]

WHITE = 255.0
LEVELS_PER_GREY = 257  # 8-bit grey to 16-bit: 255 becomes 65535
BLOCKS_PER_SIGMA = 6.0  # a wide blur is made on blocks of a sixth of its deviation
RIM_BLOCKS_PER_SIGMA = 2.5  # and one that only makes a rim on coarser ones
FAULT_SEED = 11
FULL_SCALE = 4.0
LEAST_RIM = 0.27
"""Sharpening leaves at least this share of a signal."""

LEAST_SIGNAL = 1e-6  # of the open beam; keeps the logarithm finite


class FilmShapeError(BitewrightError):
    """The beam mask does not fit the transmission."""

    def __init__(self, transmission: tuple[int, ...], mask: tuple[int, ...]) -> None:
        self.transmission = transmission
        self.mask = mask
        super().__init__(
            f"The transmission is {transmission} (rows, columns) and the beam mask {mask}; "
            "both must be images of the same size. Make the mask on the grid that was filmed."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ToneCurve:
    """Grey against p = -ln(signal): black + span (1 - exp(-(p / scale)^power)) + tail p, 8-bit.

    Our choice, fitted by eye to one real plate image: steepest where dentine and enamel lie, so
    that a crown's enamel stands out and the teeth darken from molars to canine.
    """

    black: float = 11.0
    span: float = 240.0
    scale: float = 2.0
    power: float = 1.8
    tail: float = 0.0

    def grey(self, signal: Image) -> Image:
        """8-bit grey, unrounded, of a signal relative to the open beam at the right exposure."""
        p = np.maximum(-np.log(np.maximum(signal, LEAST_SIGNAL)), 0.0)
        share = -np.expm1(-((p / self.scale) ** self.power))
        return np.asarray(self.black + self.span * share + self.tail * p, dtype=np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpticalDensityCurve:
    """Film on a light box: blackness against exposure, then as bright as an eye finds it.

    Direct-exposure film blackens in proportion to exposure until it nears its greatest density
    (common practice); the eye's share is the usual power of 1 / 2.2. Figures our choice.
    """

    base: float = 0.2
    greatest: float = 3.0
    speed: float = 2.3

    def grey(self, signal: Image) -> Image:
        """8-bit grey, unrounded, of a signal relative to the open beam at the right exposure."""
        density = (self.greatest - self.base) * -np.expm1(-self.speed * np.maximum(signal, 0.0))
        return np.asarray(WHITE * 10.0 ** (-density / 2.2), dtype=np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmSettings:
    """How the receptor and its display turn transmission into grey. Our choice throughout.

    Parameters
    ----------
    receptor_blur_mm : float
        Standard deviation of the receptor's own blur. [mm]
    scatter_share, scatter_spread_mm : float
        Scatter as a share of the primary it comes from, spread by a Gaussian of this
        standard deviation. [mm]
    fog : float
        Signal where no photon falls, as a share of the open beam.
    quanta_per_mm2 : float
        Effective quanta of the open beam at exposure 1, for the noise before its blur. [1/mm2]
    quantum_grain_mm : float
        Standard deviation of the blur of quantum noise across the film. [mm]
    grain_down : float
        How much longer grain is down the film than across: plates are read line by line.
    clump_share, clump_mm : float
        Power of quantum noise spread over more than a grain, as a share of the other's before any
        blur, and the deviation of its blur: grain of plates is clumpy. [mm]
    structure_noise, structure_grain_mm : float
        Relative deviation of the receptor's sensitivity from place to place, and its grain. [mm]
    dark_share : float
        Share of the open beam at exposure 1 whose quanta are as noisy as reading in the dark.
    reader_noise, reader_grain_mm : float
        Deviation of the slow noise that a reader adds behind its logarithm, the same in bright
        and dark, in 8-bit grey; and its grain. [mm]
    corner_radius_mm : float
        Rounding of the active area. [mm]
    outside_grey : float
        8-bit grey displayed outside the active area.
    saturation : float
        Share of the open beam at exposure 1 at which a pixel is full.
    scales_itself : bool
        Whether the display takes out the exposure, as digital systems do: a wrong exposure then
        shows as noise or as burnt-out thin parts, not as brightness.
    sharpen_share, sharpen_mm : float
        The display's sharpening: share of the difference to a blur of this deviation. [mm]
    rim_share, rim_mm : float
        The same of the signal, before the display: metal gets a bright rim, and what lies beside
        it hardly a dark one. [mm]
    contrast : float
        The display's power on the grey scale; 1 leaves it.
    is_linear : bool
        Give the receptor's signal itself, `FULL_SCALE` of the open beam at exposure 1 as white,
        instead of a display of it.
    tone : ToneCurve or OpticalDensityCurve
    faults : tuple of FilmFault
        Of receptor and handling; where they lie is drawn from a generator of their own.
    """

    receptor_blur_mm: float = 0.030
    scatter_share: float = 0.08
    scatter_spread_mm: float = 6.6
    fog: float = 0.002
    quanta_per_mm2: float = 3.0e5
    quantum_grain_mm: float = 0.019
    grain_down: float = 1.0
    clump_share: float = 0.0
    clump_mm: float = 0.048
    structure_noise: float = 0.010
    structure_grain_mm: float = 0.021
    dark_share: float = 0.0
    reader_noise: float = 0.0
    reader_grain_mm: float = 0.12
    corner_radius_mm: float = 6.0
    outside_grey: float = 10.0
    saturation: float = float("inf")
    scales_itself: bool = False
    sharpen_share: float = 0.0
    sharpen_mm: float = 0.2
    rim_share: float = 0.0
    rim_mm: float = 0.16
    contrast: float = 1.0
    is_linear: bool = False
    tone: ToneCurve | OpticalDensityCurve = field(default_factory=ToneCurve)
    faults: tuple[FilmFault, ...] = ()


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
    signal = _blurred(signal, _blur_sigma_mm(settings, unsharpness_mm) / pixel_mm)
    if generator is not None:
        signal = _with_noise(signal, pixel_mm, settings, generator)
    grey = _displayed(signal, pixel_mm, exposure, settings)
    if generator is not None and settings.reader_noise and not settings.is_linear:
        grey += _reader_noise(grey.shape, pixel_mm, settings, generator)
    grey = with_surface_faults(grey, pixel_mm, settings.faults, np.random.default_rng(FAULT_SEED))
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
        kept = np.maximum(sharp, np.float32(LEAST_RIM) * kept)
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
    """True in the corners cut off by rounding, shape (rows, columns)."""
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
    """Receptor and focal spot together; a uniform spot's deviation is its width over root 12."""
    return float(np.hypot(settings.receptor_blur_mm, unsharpness_mm / np.sqrt(12.0)))


def _blurred(image: Image, sigma_px: float) -> Image:
    return blurred(image, sigma_px)


def _blurred_widely(
    image: Image, sigma_px: float, blocks_per_sigma: float = BLOCKS_PER_SIGMA
) -> Image:
    """A blur of many pixels, done on block means and interpolated back: quick, and as smooth."""
    block = max(int(sigma_px / blocks_per_sigma), 1)
    coarse = _blurred(block_means(image, block), sigma_px / block)
    return between_blocks(coarse, block, image.shape)


def _with_noise(
    signal: Image, pixel_mm: float, settings: FilmSettings, generator: np.random.Generator
) -> Image:
    """Quantum noise goes with the root of signal and dark, structure noise with the signal."""
    quanta = settings.quanta_per_mm2 * pixel_mm**2
    down = settings.grain_down
    quantum, structure = (
        blurred(
            generator.standard_normal(signal.shape, dtype=np.float32),
            grain_mm / pixel_mm,
            down_px=down * grain_mm / pixel_mm,
        )
        for grain_mm in (settings.quantum_grain_mm, settings.structure_grain_mm)
    )
    if settings.clump_share:
        quantum += _clumps(signal.shape, pixel_mm, settings, generator)
    kept = np.maximum(signal, 0.0)
    left = _deviation_left(settings.structure_grain_mm / pixel_mm, down)
    structure *= np.float32(settings.structure_noise / left)
    structure += np.float32(1.0)
    structure *= kept  # in place: fresh memory costs as much as the sums
    kept += np.float32(settings.dark_share)
    kept *= np.float32(1.0 / quanta)
    quantum *= np.sqrt(kept, out=kept)
    structure += quantum
    return structure


def _clumps(
    shape: tuple[int, ...], pixel_mm: float, settings: FilmSettings, generator: np.random.Generator
) -> Image:
    """Quantum noise blurred over more than grains."""
    block = max(round(settings.clump_mm / pixel_mm), 1)
    strength = np.sqrt(settings.clump_share) / block  # a block's quanta are as noisy
    return _slow_noise(shape, block, settings.clump_mm / (block * pixel_mm), strength, generator)


def _deviation_left(sigma_px: float, down: float = 1.0) -> float:
    """What a blur leaves of white noise's deviation."""
    return float(np.sqrt(np.prod([(gaussian(s) ** 2).sum() for s in (sigma_px, down * sigma_px)])))


def _reader_noise(
    shape: tuple[int, ...], pixel_mm: float, settings: FilmSettings, generator: np.random.Generator
) -> Image:
    """Slow noise behind the reader's logarithm."""
    block = max(int(settings.reader_grain_mm / pixel_mm), 1)
    sigma = settings.reader_grain_mm / (block * pixel_mm)
    strength = settings.reader_noise / _deviation_left(sigma)
    return _slow_noise(shape, block, sigma, strength, generator)


def _slow_noise(
    shape: tuple[int, ...],
    block: int,
    sigma_blocks: float,
    strength: float,
    generator: np.random.Generator,
) -> Image:
    """Noise drawn on blocks, blurred over some of them and interpolated."""
    coarse = (-(-shape[0] // block), -(-shape[1] // block))
    noise = blurred(generator.standard_normal(coarse, dtype=np.float32), sigma_blocks)
    noise *= np.float32(strength)
    return between_blocks(noise, block, shape)


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


__all__ = [
    "FilmSettings",
    "FilmShapeError",
    "OpticalDensityCurve",
    "ToneCurve",
    "develop",
    "outside_active_area",
]
