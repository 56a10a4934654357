"""Film, plate and sensor: what mAs gives at the receptor, and how each kind shows it.

Figures: ``tables/film_kinds.toml``.
"""

from dataclasses import dataclass
from typing import NamedTuple

from bitewright.equipment.receptors import Receptor, ReceptorKind
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError, quoted
from bitewright.figure_tables import figures_of
from bitewright.film.film_faults import FilmFault, checked_faults
from bitewright.film.film_settings import FAULT_SEED, FilmSettings
from bitewright.film.tone_curves import TONES, OpticalDensityCurve, ToneCurve
from bitewright.nearest_name import meant
from bitewright.physics.air_kerma import air_kerma_ugy_cm2
from bitewright.physics.inverse_square import intensity_ratio
from bitewright.physics.spectrum import Spectrum, tube_spectrum

METRE_MM = 1000.0
"""Where a spectrum's photons are counted, from the focal spot."""

MM2_PER_CM2 = 100.0
"""Square millimetres in a square centimetre."""

UGY_PER_MGY = 1000.0
"""Micrograys in a milligray."""

LEAST_MAS = 0.01
"""Least tube current times time that may be asked for. Our choice."""

MOST_MAS = 100.0
"""Most that may be asked for. Our choice."""

PLAIN = "plain"

TONE_OF: dict[ReceptorKind, ToneCurve | OpticalDensityCurve] = {
    ReceptorKind.FILM: TONES.optical_density,
    ReceptorKind.PLATE: TONES.plate,
    ReceptorKind.SENSOR: TONES.displayed,
}


class UnknownLookError(BitewrightError):
    """A display look was named that there is not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"The display look {quoted(given)} is not known: give one of {', '.join(look_names())}."
            f"{meant(given, look_names())}"
        )


class ImpossibleMasError(BitewrightError):
    """A tube current-time product is none that a dental tube gives."""

    def __init__(self, given: float) -> None:
        self.given = given
        super().__init__(
            f"{given:g} mAs were given, must be a number from {LEAST_MAS:g} to {MOST_MAS:g}: "
            "correct it."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """How a film is exposed, displayed and handled.

    Parameters
    ----------
    mas : float or None
        Tube current times time; None is what is right for the receptor. [mAs]
    look : str
        The display's look.
    faults : tuple of FilmFault
        Of receptor and handling.
    fault_seed : int
        Draws where they lie.
    for_processing : bool
        The receptor's signal, linear in exposure, instead of a display of it.
    """

    mas: float | None = None
    look: str = PLAIN
    faults: tuple[FilmFault, ...] = ()
    for_processing: bool = False
    fault_seed: int = FAULT_SEED


USUAL = Handling()


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposing:
    """What reaches a receptor.

    Parameters
    ----------
    kerma_at_end_mgy : float
        Air kerma at the tube's end, without the patient. [mGy]
    exposure : float
        That over what is right for the receptor's kind.
    quanta_per_mm2 : float
        Quanta of the open beam at the receptor that count for its noise, at the right exposure.
        [1/mm2]
    """

    kerma_at_end_mgy: float
    exposure: float
    quanta_per_mm2: float


def exposing(
    tube: Tube, receptor: Receptor, *, end_to_receptor_mm: float, mas: float | None = None
) -> Exposing:
    """Kerma, exposure and quanta for a tube's mAs; None is what is right for the receptor.

    Our model: the spectrum's kerma and photons a mAs, the inverse square law, a constant share of
    quanta that count. Loss in air is left out.

    Raises
    ------
    ImpossibleMasError
    """
    spectrum = tube_spectrum(
        tube.kv,
        target_angle_deg=tube.target_angle_deg,
        filtration_mm_al=tube.filtration_mm_al,
    )
    kind = _kind(receptor)
    right = kind.right_kerma_mgy
    if mas is not None and not LEAST_MAS <= mas <= MOST_MAS:
        raise ImpossibleMasError(mas)
    kerma = right if mas is None else mas * kerma_per_mas_mgy(spectrum, tube.source_to_end_mm)
    photons = spectrum.photons_per_cm2_mas.sum() / MM2_PER_CM2
    right_mas = right / kerma_per_mas_mgy(spectrum, tube.source_to_end_mm)
    reach = tube.source_to_end_mm + end_to_receptor_mm
    fluence = photons * right_mas * intensity_ratio(from_mm=METRE_MM, to_mm=reach)
    return Exposing(
        kerma_at_end_mgy=kerma,
        exposure=kerma / right,
        quanta_per_mm2=kind.detection_share * float(fluence),
    )


def kerma_per_mas_mgy(spectrum: Spectrum, distance_mm: float) -> float:
    """Air kerma of one mAs at a distance from the focal spot. [mGy]"""
    at_metre_ugy = float(
        (spectrum.photons_per_cm2_mas * air_kerma_ugy_cm2(spectrum.energies_kev)).sum()
    )
    return at_metre_ugy * intensity_ratio(from_mm=METRE_MM, to_mm=distance_mm) / UGY_PER_MGY


def film_settings(
    receptor: Receptor, *, quanta_per_mm2: float, handling: Handling = USUAL
) -> FilmSettings:
    """How a receptor's kind shows its exposure.

    Raises
    ------
    UnknownLookError, FaultNotPossibleError
    """
    if handling.look not in look_names():
        raise UnknownLookError(handling.look)
    kind, display = _kind(receptor), getattr(KINDS.looks, handling.look)
    return FilmSettings(
        receptor_blur_mm=kind.receptor_blur_mm,
        fog=kind.fog,
        quanta_per_mm2=quanta_per_mm2,
        quantum_grain_mm=kind.quantum_grain_mm,
        grain_down=kind.grain_down,
        clump_share=kind.clump_share,
        structure_noise=kind.structure_noise,
        structure_grain_mm=kind.structure_grain_mm,
        dark_share=kind.dark_share,
        reader_noise=kind.reader_noise,
        corner_radius_mm=receptor.corner_radius_mm,
        saturation=kind.saturation,
        scales_itself=receptor.kind is not ReceptorKind.FILM,
        rim_share=kind.rim_share,
        sharpen_share=display.sharpen_share,
        sharpen_mm=display.sharpen_mm,
        contrast=display.contrast,
        is_linear=handling.for_processing,
        tone=TONE_OF[receptor.kind],
        faults=checked_faults(handling.faults, receptor.kind),
        fault_seed=handling.fault_seed,
    )


def look_names() -> tuple[str, ...]:
    """Names of the displays there are."""
    return KINDS.looks._fields


def right_kerma_mgy(receptor: Receptor) -> float:
    """Air kerma at the tube's end for a right exposure of a back tooth. [mGy]"""
    return _kind(receptor).right_kerma_mgy


def _kind(receptor: Receptor) -> "FilmKind":
    kinds = {
        ReceptorKind.FILM: KINDS.film,
        ReceptorKind.PLATE: KINDS.plate,
        ReceptorKind.SENSOR: KINDS.sensor,
    }
    return kinds[receptor.kind]


class FilmKind(NamedTuple):
    """How one kind of receptor turns exposure into a picture."""

    right_kerma_mgy: float
    detection_share: float
    quantum_grain_mm: float
    grain_down: float
    clump_share: float
    receptor_blur_mm: float
    structure_noise: float
    structure_grain_mm: float
    rim_share: float
    reader_noise: float
    dark_share: float
    fog: float
    saturation: float


class Look(NamedTuple):
    """One display."""

    sharpen_share: float
    sharpen_mm: float
    contrast: float


class Looks(NamedTuple):
    """Displays to choose from."""

    plain: Look
    crisp: Look
    contrasty: Look
    soft: Look


class FilmKinds(NamedTuple):
    """Kinds of receptors, and displays to choose from."""

    film: FilmKind
    plate: FilmKind
    sensor: FilmKind
    looks: Looks


KINDS = figures_of(FilmKinds, "bitewright.film", "film_kinds")

__all__ = [
    "PLAIN",
    "USUAL",
    "Exposing",
    "Handling",
    "ImpossibleMasError",
    "UnknownLookError",
    "exposing",
    "film_settings",
    "kerma_per_mas_mgy",
    "look_names",
    "right_kerma_mgy",
]
