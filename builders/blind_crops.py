"""Films made alike, and cut: nothing but what they show may tell a real one from a rendered one.

Every film comes to one pixel size and one outline, loses its border (plate rim, rounded corners,
the word SIMULATED), and has its levels stretched once over the whole. Crops of a kind are of one
size; neither they nor their places in it tell where they came from.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from bitewright.errors import BitewrightError
from bitewright.film.develop import outside_active_area
from builders.marked_films import MarkedFilm, Places

Grey = NDArray[np.uint8]
PIXEL_MM = 0.035
"""Neither the real film's pixel nor a rendered one's, so that both are resampled."""

FILM_MM = (38.0, 28.2)
CORNER_MM = 5.0
"""What is left of a size 2 plate when its border of about 1.4 mm is cut off. [mm]"""

DARKEST, BRIGHTEST = 12.0, 243.0
"""Levels that a film's darkest and brightest hundredth come to."""

PAIRS = ((3, 4), (4, 5), (5, 6), (6, 7), (7, 8))
SIZES_MM = {
    "contact": (6.0, 7.5),
    "septum": (4.0, 5.0),
    "molar": (10.0, 8.0),
    "premolar": (7.0, 8.0),
}
"""Width and height of a crop: neighbours' crops of a kind hardly meet. [mm]"""

ROOTWARD_MM = 1.5
SHIFT_MM = 0.3
"""Septum crops lie this far rootward of the crest; every crop is shifted by up to so much."""


class SmallFilmError(BitewrightError):
    """A film is smaller than what is compared."""

    def __init__(self, given_mm: tuple[float, float]) -> None:
        self.given_mm = given_mm
        super().__init__(
            f"A film of {given_mm[0]:.1f} x {given_mm[1]:.1f} mm was given; a size 2 receptor's, "
            f"lying flat, at least {FILM_MM[0]:g} x {FILM_MM[1]:g} mm is needed. Choose another."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlainFilm:
    """A film as all are compared, of `PIXEL_MM` and `FILM_MM`, and its landmarks there."""

    grey: Grey
    places: Places
    is_real: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crop:
    """A piece of a film: what it shows, whether it is real, its first row and column there."""

    kind: str
    is_real: bool
    grey: Grey
    top: int = 0
    left: int = 0


def plain_film(film: MarkedFilm) -> PlainFilm:
    """A film made like all others, in whole levels of 8-bit grey.

    Raises
    ------
    SmallFilmError
    """
    rounded = np.rint(film.grey).astype(np.float32)
    scale = film.pixel_mm / PIXEL_MM
    size = (round(rounded.shape[1] * scale), round(rounded.shape[0] * scale))
    resampled = np.asarray(Image.fromarray(rounded).resize(size, Image.Resampling.BICUBIC))
    columns, rows = (round(side / PIXEL_MM) for side in FILM_MM)
    top, left = (resampled.shape[0] - rows) // 2, (resampled.shape[1] - columns) // 2
    if min(top, left) < 0:
        raise SmallFilmError((size[0] * PIXEL_MM, size[1] * PIXEL_MM))
    inner = resampled[top : top + rows, left : left + columns]
    return PlainFilm(
        grey=_levelled(inner),
        places={name: (x * scale - left, y * scale - top) for name, (x, y) in film.places.items()},
        is_real=film.is_real,
    )


def _levelled(film: NDArray[np.float32]) -> Grey:
    """Stretched by its own hundredths within the rounded corners, black beyond them."""
    beyond = outside_active_area(film.shape, CORNER_MM / PIXEL_MM)
    low, high = np.percentile(film[~beyond], [1.0, 99.0])
    share = (film - low) / max(float(high - low), 1.0)
    levels = np.clip(DARKEST + (BRIGHTEST - DARKEST) * share, 0.0, 255.0)
    levels[beyond] = 0.0
    return np.asarray(np.rint(levels), dtype=np.uint8)


def crops(film: PlainFilm, generator: np.random.Generator) -> list[Crop]:
    """Every crop that a film's landmarks allow, the whole film first; none of a kind overlap.

    Each is mirrored or not by chance, for the real film shows one side only.
    """
    found = [Crop(kind="whole", is_real=film.is_real, grey=film.grey)]
    for kind, middle in _middles(film.places):
        crop = _cut(film, kind, middle + generator.uniform(-1.0, 1.0, 2) * SHIFT_MM / PIXEL_MM)
        if crop is not None and not any(_overlap(crop, other) for other in found):
            found.append(crop)
    return [_mirrored(crop) if generator.random() < 0.5 else crop for crop in found]


def _middles(places: Places) -> list[tuple[str, NDArray[np.float64]]]:
    """Kinds of crops and where their middles lie (column, row)."""
    found = []
    for quadrant in (1, 2, 3, 4):
        rootward = (1.0 if quadrant in (3, 4) else -1.0) * ROOTWARD_MM / PIXEL_MM
        for front, back in PAIRS:
            sides = f"{quadrant}{front}.distal", f"{quadrant}{back}.mesial"
            found += _middle("contact", sides, places)
            crests = f"{sides[0]}.crest", f"{sides[1]}.crest"
            found += _middle("septum", crests, places, down=rootward)
        for place in (4, 5, 6, 7):
            sides = f"{quadrant}{place}.mesial", f"{quadrant}{place}.distal"
            found += _middle("molar" if place > 5 else "premolar", sides, places)
    return found


def _middle(
    kind: str, names: tuple[str, str], places: Places, *, down: float = 0.0
) -> list[tuple[str, NDArray[np.float64]]]:
    if any(name not in places for name in names):
        return []
    return [(kind, np.mean([places[name] for name in names], axis=0) + np.array([0.0, down]))]


def _cut(film: PlainFilm, kind: str, middle: NDArray[np.float64]) -> Crop | None:
    columns, rows = (round(side / PIXEL_MM) for side in SIZES_MM[kind])
    left, top = round(middle[0] - columns / 2), round(middle[1] - rows / 2)
    if min(left, top) < 0 or left + columns > film.grey.shape[1] or top + rows > len(film.grey):
        return None
    grey = film.grey[top : top + rows, left : left + columns]
    return Crop(kind=kind, is_real=film.is_real, grey=grey, top=top, left=left)


def _overlap(one: Crop, other: Crop) -> bool:
    if one.kind != other.kind:
        return False
    rows, columns = one.grey.shape
    return abs(one.top - other.top) < rows and abs(one.left - other.left) < columns


def _mirrored(crop: Crop) -> Crop:
    return Crop(kind=crop.kind, is_real=crop.is_real, grey=crop.grey[:, ::-1])
