"""What is believed of a film's contacts: how open each would be, the tube swung some way.

Mouths and exposures are drawn together from the estimate. Where a contact was marked as it is not
in a drawn mouth, its teeth are taken to be turned: it opens from another direction, by about as
much as its overlap says.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtr

from bitewright.estimation.allowances import allowances
from bitewright.estimation.estimate import Estimate
from bitewright.estimation.exposure_unknowns import NAMES, exposures_at
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import Shapes, project_shapes
from bitewright.quality.predicted import Asked, rated
from bitewright.quality.wanted import edges
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]

AZIMUTH = NAMES.index("azimuth_deg")

SWINGS_DEG = np.linspace(-24.0, 24.0, 17)
"""Swings from each drawn exposure at which its contacts are looked at. Our choice."""

TURNS_DEG = np.linspace(-15.0, 15.0, 31)
"""How far a contact may open beside where the drawn mouth says. Our choice."""

TURN_SD_DEG, TURN_FREEDOM = 3.0, 4.0
"""How widely, and how heavy the tails. Our choice, of the size that real crowns' best aim differs
from that of their outlines."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BelievedContacts:
    """Enamel hidden at C contacts of a view in D drawn mouths, by swings from drawn exposures.

    Parameters
    ----------
    unknowns : (D, 10) float array
        The drawn exposures.
    shapes, laid : Shapes
        The drawn mouths, as they lie and laid on the estimated one (`MouthShapes.laid_on`).
    chords_deg : (D,) float array
        How far each mouth's chord is turned from that of the station the exposures are told by.
    enamel_share : (D, G, C) float array
        Overlap over enamel, at each of `SWINGS_DEG` from the drawn exposure.
    turns_deg : (D, C) float array
        From how far aside each contact opens.
    """

    unknowns: Floats
    shapes: Shapes
    laid: Shapes
    chords_deg: Floats
    enamel_share: Floats
    turns_deg: Floats

    def hidden_at(self, swings_deg: Floats) -> Floats:
        """Share of enamel hidden (D, K, C) at K swings (D, K) from each drawn exposure."""
        return _between_swings(self.enamel_share, swings_deg[..., None] - self.turns_deg[:, None])


def believed_contacts(
    found: Estimate,
    of: Asked,
    states: Floats,
    *,
    film: int = 0,
    generator: np.random.Generator,
    threads: Threads = ALONE,
) -> BelievedContacts:
    """Draw what is believed of a film's contacts.

    Our model: a contact opens from where its drawn mouth says, or from some degrees aside
    (Student's t); how far is drawn by how well it then shows the overlap that was marked.

    Parameters
    ----------
    found : Estimate
    of : Asked
        The view, of the estimated mouth's station.
    states : (D, 10F + N) float array
        Drawn from the estimate: exposures and mouths.
    film, generator, threads
    """
    at, landmarks = found.films[film].station, found.films[film].landmarks
    exposures = len(NAMES) * len(found.films)
    unknowns = states[:, :exposures].reshape(len(states), len(found.films), -1)[:, film]
    amounts = states[:, exposures:]
    shapes = found.shapes.of(amounts, of.targets)
    swung = np.repeat(unknowns, len(SWINGS_DEG), axis=0)
    swung[:, AZIMUTH] += np.tile(SWINGS_DEG, len(unknowns))
    marks, scale = project_shapes(
        exposures_at(at, swung),
        of.targets,
        shapes,
        mouth_of=np.repeat(np.arange(len(unknowns)), len(SWINGS_DEG)),
        threads=threads,
    )
    seen = rated(marks, scale, of)
    shares = seen.measurements.enamel_share.reshape(len(unknowns), len(SWINGS_DEG), -1)
    per_mm = seen.scale.object_per_receptor.mean(axis=0) / seen.scale.enamel_mm
    marked_mm = marked_overlaps_mm(landmarks, of)
    return BelievedContacts(
        unknowns=unknowns,
        shapes=shapes,
        laid=found.shapes.laid_on(shapes, amounts, at.region),
        chords_deg=found.shapes.chords_deg(amounts, at.region)
        - found.shapes.chord_deg(at.seating.frame, at.region),
        enamel_share=shares,
        turns_deg=_turns(shares, marked_mm, per_mm, generator),
    )


def marked_overlaps_mm(landmarks: Landmarks, of: Asked) -> Floats:
    """Overlap of each contact of a view as it was marked, (C,); NaN where it was not. [mm]"""
    row = {name: k for k, name in enumerate(landmarks.names)}
    found = np.full(len(of.wanted.contacts), np.nan)
    for column, pair in enumerate(of.wanted.contacts):
        both = [row.get(name) for name in edges(pair)]
        if all(k is not None and landmarks.status[0, k] == Status.SEEN for k in both):
            ahead, behind = (landmarks.points_receptor[0, k, 0] for k in both)
            found[column] = landmarks.front_sign * (behind - ahead)
    return found


def _turns(
    shares: Floats, marked_mm: Floats, per_mm: Floats, generator: np.random.Generator
) -> Floats:
    """From how far aside each contact (D, C) opens, drawn by what was marked of it. [deg]"""
    count, _, contacts = shares.shape
    own = allowances()
    half = 0.5 * (TURNS_DEG[1] - TURNS_DEG[0])
    ends = (TURNS_DEG - half) / TURN_SD_DEG, (TURNS_DEG + half) / TURN_SD_DEG
    prior = stdtr(TURN_FREEDOM, ends[1]) - stdtr(TURN_FREEDOM, ends[0])
    tried = np.broadcast_to(-TURNS_DEG[:, None], (count, len(TURNS_DEG), contacts))
    shown = _between_swings(shares, tried)
    off_mm = (marked_mm - own.edges_apart_mm) - shown / per_mm
    spread = float(np.hypot(MARKED_SD_MM, own.overlap_sd_mm))
    fits = np.exp(-0.5 * np.nan_to_num(off_mm / spread) ** 2)
    weights = fits * prior[:, None] + np.finfo(float).tiny
    summed = np.cumsum(weights, axis=1)
    below = summed < generator.random((count, 1, contacts)) * summed[:, -1:]
    return np.asarray(TURNS_DEG[below.sum(axis=1)])


MARKED_SD_MM = 0.21
"""Of an overlap by its two marks. Our choice."""


def _between_swings(shares: Floats, swings_deg: Floats) -> Floats:
    """Shares (D, K, C) at swings (D, K, C) between those looked at (D, G, C), straight.

    Beyond the last of them, as there.
    """
    step = SWINGS_DEG[1] - SWINGS_DEG[0]
    place = np.clip((swings_deg - SWINGS_DEG[0]) / step, 0.0, len(SWINGS_DEG) - 1.0)
    below = np.minimum(place.astype(np.intp), len(SWINGS_DEG) - 2)
    under, over = (np.take_along_axis(shares, below + up, axis=1) for up in (0, 1))
    return np.asarray(under + (place - below) * (over - under))


__all__ = ["SWINGS_DEG", "BelievedContacts", "believed_contacts", "marked_overlaps_mm"]
