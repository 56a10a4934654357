"""Film, plate and sensor: what mAs gives at the receptor, and how each kind shows it."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

from bitewright.equipment.receptors import Receptor, ReceptorKind
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError
from bitewright.film.develop import FilmSettings, OpticalDensityCurve, ToneCurve
from bitewright.film.film_faults import FilmFault, checked_faults
from bitewright.nearest_name import meant
from bitewright.physics.air_kerma import air_kerma_ugy_cm2
from bitewright.physics.inverse_square import intensity_ratio
from bitewright.physics.spectrum import Spectrum, tube_spectrum

METRE_MM = 1000.0
MM2_PER_CM2 = 100.0
PLAIN = "plain"
PLATE_TONE = ToneCurve(black=10.5, span=149.0, scale=1.89, power=2.88, tail=18.0)
"""Fitted to the levels of tissues on one real plate image; in metal it still rises, for there that
plate shows grain."""

CURVES: dict[str, ToneCurve | OpticalDensityCurve] = {
    "displayed": ToneCurve(),
    "plate": PLATE_TONE,
    "optical-density": OpticalDensityCurve(),
}


class UnknownLookError(BitewrightError):
    """A display look was named that there is not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"The display look {given[:40]!r} is not known: give one of {', '.join(look_names())}."
            f"{meant(given, look_names())}"
        )


class ImpossibleMasError(BitewrightError):
    """A tube current-time product is none that a dental tube gives."""

    def __init__(self, given: float) -> None:
        self.given = given
        super().__init__(
            f"{given:g} mAs were given, must be a number from 0.01 to 100: correct it."
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
    for_processing : bool
        The receptor's signal, linear in exposure, instead of a display of it.
    """

    mas: float | None = None
    look: str = PLAIN
    faults: tuple[FilmFault, ...] = ()
    for_processing: bool = False


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

    Model: the spectrum's kerma and photons a mAs, the inverse square law, a constant share of
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
    row = _tables()[receptor.kind.value]
    right = float(row["right_kerma_mgy"])
    if mas is not None and not 0.01 <= mas <= 100.0:
        raise ImpossibleMasError(mas)
    kerma = right if mas is None else mas * kerma_per_mas_mgy(spectrum, tube.source_to_end_mm)
    photons = spectrum.photons_per_cm2_mas.sum() / MM2_PER_CM2
    right_mas = right / kerma_per_mas_mgy(spectrum, tube.source_to_end_mm)
    reach = tube.source_to_end_mm + end_to_receptor_mm
    fluence = photons * right_mas * intensity_ratio(from_mm=METRE_MM, to_mm=reach)
    return Exposing(
        kerma_at_end_mgy=kerma,
        exposure=kerma / right,
        quanta_per_mm2=float(row["detection_share"]) * float(fluence),
    )


def kerma_per_mas_mgy(spectrum: Spectrum, distance_mm: float) -> float:
    """Air kerma of one mAs at a distance from the focal spot. [mGy]"""
    at_metre_ugy = float(
        (spectrum.photons_per_cm2_mas * air_kerma_ugy_cm2(spectrum.energies_kev)).sum()
    )
    return at_metre_ugy * intensity_ratio(from_mm=METRE_MM, to_mm=distance_mm) / 1000.0


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
    row = dict(_tables()[receptor.kind.value])
    display = _tables()["looks"][handling.look]
    return FilmSettings(
        receptor_blur_mm=row["receptor_blur_mm"],
        fog=row["fog"],
        quanta_per_mm2=quanta_per_mm2,
        quantum_grain_mm=row["quantum_grain_mm"],
        grain_down=row.get("grain_down", 1.0),
        clump_share=row.get("clump_share", 0.0),
        structure_noise=row["structure_noise"],
        structure_grain_mm=row["structure_grain_mm"],
        dark_share=row.get("dark_share", 0.0),
        reader_noise=row.get("reader_noise", 0.0),
        corner_radius_mm=receptor.corner_radius_mm,
        saturation=row.get("saturation", float("inf")),
        scales_itself=receptor.kind is not ReceptorKind.FILM,
        rim_share=row.get("rim_share", 0.0),
        sharpen_share=display["sharpen_share"],
        sharpen_mm=display["sharpen_mm"],
        contrast=display["contrast"],
        is_linear=handling.for_processing,
        tone=CURVES[row["curve"]],
        faults=checked_faults(handling.faults, receptor.kind),
    )


def look_names() -> tuple[str, ...]:
    """Names of the displays there are."""
    return tuple(_tables()["looks"])


@lru_cache(maxsize=1)
def _tables() -> dict[str, Any]:
    text = (files("bitewright.film") / "tables" / "film_kinds.toml").read_text("utf-8")
    return tomllib.loads(text)


__all__ = [
    "PLAIN",
    "PLATE_TONE",
    "USUAL",
    "Exposing",
    "Handling",
    "ImpossibleMasError",
    "UnknownLookError",
    "exposing",
    "film_settings",
    "kerma_per_mas_mgy",
    "look_names",
]
