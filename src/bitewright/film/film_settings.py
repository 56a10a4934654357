"""How a receptor and its display turn a signal into a picture, in numbers.

Figures: ``tables/image_chain.toml``; those of each kind of receptor: `film_kinds`.
"""

from dataclasses import dataclass
from typing import NamedTuple

from bitewright.figure_tables import figures_of
from bitewright.film.film_faults import FilmFault
from bitewright.film.tone_curves import TONES, OpticalDensityCurve, ToneCurve


class ImageChain(NamedTuple):
    """What receptor and display do where a kind of receptor says nothing else."""

    receptor_blur_mm: float
    scatter_share: float
    scatter_spread_mm: float
    fog: float
    quanta_per_mm2: float
    quantum_grain_mm: float
    clump_mm: float
    structure_noise: float
    structure_grain_mm: float
    reader_grain_mm: float
    corner_radius_mm: float
    outside_grey: float
    sharpen_mm: float
    rim_mm: float
    least_rim_share: float


FAULT_SEED = 11
"""Where scratches and the like lie, if nobody asks for another place."""

USUAL_CHAIN = figures_of(ImageChain, "bitewright.film", "image_chain")


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmSettings:
    """How the receptor and its display turn transmission into grey.

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
        Give the receptor's signal itself instead of a display of it, `develop.FULL_SCALE` of the
        open beam at exposure 1 as white.
    tone : ToneCurve or OpticalDensityCurve
    faults : tuple of FilmFault
        Of receptor and handling; where they lie is drawn from a generator of their own.
    fault_seed : int
        Of that generator.
    """

    receptor_blur_mm: float = USUAL_CHAIN.receptor_blur_mm
    scatter_share: float = USUAL_CHAIN.scatter_share
    scatter_spread_mm: float = USUAL_CHAIN.scatter_spread_mm
    fog: float = USUAL_CHAIN.fog
    quanta_per_mm2: float = USUAL_CHAIN.quanta_per_mm2
    quantum_grain_mm: float = USUAL_CHAIN.quantum_grain_mm
    grain_down: float = 1.0
    clump_share: float = 0.0
    clump_mm: float = USUAL_CHAIN.clump_mm
    structure_noise: float = USUAL_CHAIN.structure_noise
    structure_grain_mm: float = USUAL_CHAIN.structure_grain_mm
    dark_share: float = 0.0
    reader_noise: float = 0.0
    reader_grain_mm: float = USUAL_CHAIN.reader_grain_mm
    corner_radius_mm: float = USUAL_CHAIN.corner_radius_mm
    outside_grey: float = USUAL_CHAIN.outside_grey
    saturation: float = float("inf")
    scales_itself: bool = False
    sharpen_share: float = 0.0
    sharpen_mm: float = USUAL_CHAIN.sharpen_mm
    rim_share: float = 0.0
    rim_mm: float = USUAL_CHAIN.rim_mm
    contrast: float = 1.0
    is_linear: bool = False
    tone: ToneCurve | OpticalDensityCurve = TONES.displayed
    faults: tuple[FilmFault, ...] = ()
    fault_seed: int = FAULT_SEED


__all__ = ["FAULT_SEED", "USUAL_CHAIN", "FilmSettings"]
