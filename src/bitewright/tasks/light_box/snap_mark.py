"""Put a mark on the border it was set beside, where the film shows that border for sure."""

from typing import Any

from bitewright import __version__
from bitewright.files.marks_file import marks_from_document
from bitewright.marking.crown_edge import crown_edge, outward_of
from bitewright.marking.marks import Mounting
from bitewright.store.light_box import KeptFilm
from bitewright.tasks.assess.assess_film import pixel_size
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.taken_film import taken_film
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.kept_marks import marks_for_file
from bitewright.words.snapping import NO_CONTACT, STAYS, snapped_words

EDGE_FORMAT = "bitewright.crown-edge/1"


def snapped_mark(
    kept: KeptFilm, film: DecodedFilm, name: str, at_px: tuple[float, float]
) -> dict[str, Any]:
    """Where a mark belongs that was put down at a place, and a sentence that says why.

    Raises
    ------
    BitewrightError
        If the film has no view yet, nothing tells its pixel size, or the mark has no such name.
    """
    marked = taken_film(marks_from_document(marks_for_file(kept)), equipment())
    mirrored = marked.marks.mounting is Mounting.MIRRORED
    outward = outward_of(name, marked.view, mirrored=mirrored)
    if outward is None:
        return _document(name, at_px, NO_CONTACT)
    pixel_mm, _ = pixel_size(film, marked)
    found = crown_edge(film.image.pixels, at_px, pixel_mm=pixel_mm, outward=outward)
    if found is None:
        return _document(name, at_px, STAYS)
    place = round(at_px[0] + found.shift_mm / pixel_mm, 2), at_px[1]
    told = {"moved_mm": round(found.shift_mm, 3), "times_noise": round(found.times_noise, 1)}
    return _document(name, place, snapped_words(found.shift_mm)) | {"snapped": True} | told


def _document(name: str, at_px: tuple[float, float], sentence: str) -> dict[str, Any]:
    return {
        "format": EDGE_FORMAT,
        "version": __version__,
        "name": name,
        "snapped": False,
        "x_px": at_px[0],
        "y_px": at_px[1],
        "moved_mm": 0.0,
        "times_noise": None,
        "sentence": sentence,
    }


__all__ = ["snapped_mark"]
