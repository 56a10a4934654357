"""Small pictures of films on the light box, so that a visit can be looked over at once."""

import numpy as np
from numpy.typing import NDArray

from bitewright.film.blur import block_means
from bitewright.store.light_box import KeptFilm, LightBoxStore
from bitewright.tasks.light_box.light_box import film_of

COLUMNS = 160
"""Our choice: twice what a place in the mount takes on a screen."""


def mount_picture(store: LightBoxStore, film: KeptFilm) -> NDArray[np.uint8]:
    """A film in at most `COLUMNS` columns, means of square blocks.

    Returns
    -------
    (rows, columns) uint8 array
        Grey from 0 to 255 as the film came, no window and level.
    """
    raw = film_of(store, film).image
    block = -(-raw.columns // COLUMNS)
    means = block_means(raw.pixels.astype(np.float32), block)
    return np.asarray(means * (255.0 / (2**raw.bits - 1)), dtype=np.uint8)


__all__ = ["mount_picture"]
