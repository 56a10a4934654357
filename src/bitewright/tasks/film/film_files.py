"""The film of a predicted exposure, written with its pixel size and the word SIMULATED."""

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from bitewright import __version__
from bitewright.exposing.exposure import Exposures
from bitewright.files.disk import write_file
from bitewright.files.images import ENCODERS, UnknownImageFormatError, write_image
from bitewright.film.film_faults import FaultName
from bitewright.film.film_kinds import USUAL, Handling
from bitewright.film.predicted_film import TOOTH_DEPTH_MM, predicted_film
from bitewright.film.radiograph import Radiograph
from bitewright.quality.views import View
from bitewright.steps import Begin, Expect, uncounted, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.film.film_mouths import station_film_mouth
from bitewright.words.file_notes import simulated_film
from bitewright.words.phrases import listed

if TYPE_CHECKING:
    from bitewright.dicom.write import IntraoralFacts


def write_film(
    path: Path,
    exposure: Exposures,
    *,
    of_view: View,
    pixel_mm: float | None,
    seed: int,
    handling: Handling = USUAL,
    begin: Begin = unwatched,
    expect: Expect = uncounted,
) -> Path:
    """Render one exposure and write its film (.png, .tiff or .dcm, 16 bits); returns the path.

    ``begin`` and ``expect`` are told of its mouth's building as by `station_film_mouth`.

    Raises
    ------
    UnknownImageFormatError
        If the name ends otherwise; before anything is rendered.
    """
    if path.suffix.lower() not in FILM_ENDINGS:
        raise UnknownImageFormatError(
            str(path), f"end its name in {listed(FILM_ENDINGS, last='or')}"
        )
    at = exposure.station
    mouth = station_film_mouth(at, begin, expect=expect)
    with all_cores() as threads:
        film = predicted_film(
            exposure,
            mouth,
            pixel_mm=pixel_mm,
            handling=handling,
            generator=np.random.default_rng(seed),
            threads=threads,
            provenance={"view": of_view.name, "seed": seed, "version": __version__},
        )
    said = ", ".join(f"{name} {value}" for name, value in film.provenance.items())
    if path.suffix.lower() in DICOM_ENDINGS:
        from bitewright.dicom.write import dicom_bytes  # noqa: PLC0415  slow to load

        facts = _facts(exposure, of_view, film, handling, said)
        write_file(path, dicom_bytes(film.pixels, facts, for_processing=handling.for_processing))
        return path
    write_image(
        path,
        film.pixels,
        pixel_mm=film.pixel_mm,
        description=simulated_film(said),
    )
    return path


DICOM_ENDINGS = (".dcm", ".dicom")
FILM_ENDINGS = (*ENCODERS, *DICOM_ENDINGS)


def _facts(
    exposure: Exposures, of_view: View, film: Radiograph, handling: Handling, said: str
) -> "IntraoralFacts":
    """What a film's DICOM object says beside its pixels."""
    from bitewright.dicom.write import IntraoralFacts  # noqa: PLC0415  slow to load

    at = exposure.station
    reach_mm = at.tube.source_to_end_mm + at.holder.ring_to_receptor_mm
    region = at.region
    present = set(at.outlines.codes)
    return IntraoralFacts(
        view=of_view.title,
        side=region.side.value,
        teeth=tuple(code for code in of_view.teeth if code in present),
        receptor=at.receptor.kind.value,
        pixel_mm=film.pixel_mm,
        source_to_receptor_mm=reach_mm,
        source_to_skin_mm=at.tube.source_to_end_mm,
        magnification=reach_mm / (reach_mm - TOOTH_DEPTH_MM),
        kv=at.tube.kv,
        exposure_uas=None if handling.mas is None else round(1000 * handling.mas),
        kerma_at_end_mgy=float(film.provenance["kerma_at_end_mgy"]),
        focal_spot_mm=at.tube.focal_spot_mm,
        is_mirrored=any(fault.name is FaultName.REVERSED for fault in handling.faults),
        comments=said,
    )


__all__ = ["write_film"]
