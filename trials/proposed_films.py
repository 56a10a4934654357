"""Marks proposed on films of mouths never learnt from, set beside where those films show them.

What `builders/proposed_marks_page.py` runs and writes down.
"""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from time import perf_counter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.raw_image import RawImage
from bitewright.proposing.channels import EDGE, KINDS, SORTS, channel_of
from bitewright.proposing.proposals import MarkDoubt
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.propose.propose_marks import (
    Known,
    ProposedMarks,
    film_read,
    marks_of_reading,
    propose_marks,
)
from trials.blurred_films import BLURS_MM, blurred, name_of
from trials.planted_proposals import planted_on

Floats = NDArray[np.float64]
SAME_MM = 2.0
"""A proposed edge is set beside the true edge nearest to it, if one is as near. Our choice."""

FAR_FROM_LIMIT_MM = 0.3

EDGE_OFF_MM, OTHER_OFF_MM = 0.3, 0.5
"""A person moves an edge further off along the row, and another mark further off at all. Our
choice."""

WITHIN_90_SD = 1.645
"""Nine of ten lie within so many standard deviations, of a normal distribution."""

SORT_NAMES = tuple(dict.fromkeys(SORTS))[:3]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JudgedFilm:
    """A film that was never learnt from, and where it shows its landmarks.

    Parameters
    ----------
    number : int
        Among those of its mouth.
    seed : int
        Of its mouth, and of what is planted.
    kind : str
        Of its mouth.
    pixels : (rows, columns) uint16 array
        8 bits, as seen from the tube.
    pixel_mm : float
    places_mm : dict of landmark name to (2,) float array
        From the film's upper-left corner; cusps left out.
    is_other : bool
        With a look and a receptor that were never learnt from.
    lacks : tuple of int
        Teeth that the mouth lacks.
    view : str
        Its name.
    unsure : frozenset of str
        Landmarks whose places are not the crowns' own: under a scanned crown, where our own tooth's
        enamel and bone would lie, which may be inside what the film shows.
    """

    number: int
    seed: int
    kind: str
    pixels: NDArray[np.uint16]
    pixel_mm: float
    places_mm: Mapping[str, Floats]
    is_other: bool = False
    lacks: tuple[int, ...] = ()
    view: str = ""
    unsure: frozenset[str] = frozenset()


def judged(film: JudgedFilm) -> dict[str, Any]:
    """Propose one film's marks, and how they lie to the truth; then plant wrong ones."""
    raw = RawImage(pixels=film.pixels, bits=8, pixel_mm=film.pixel_mm, source="simulated")
    made = DecodedFilm(name=f"film {film.number}", sha256="0" * 64, image=raw)
    known, told = packaged_catalogue(), Known()
    started = perf_counter()
    read = film_read(made, known, told)
    proposed = marks_of_reading(made, read, known, told)
    seconds = perf_counter() - started
    return {
        "number": film.number,
        "seed": film.seed,
        "kind": film.kind,
        "is_other": film.is_other,
        "is_upright": film.pixels.shape[0] > film.pixels.shape[1],
        "lacks": list(film.lacks),
        "unsure": sorted(film.unsure),
        "seconds": round(seconds, 3),
        **beside_truth(proposed, film.places_mm, pixel_mm=film.pixel_mm),
        "planted": planted_on(made, read, proposed, seed=100 * film.seed + film.number),
        "blurred": {name_of(blur_mm): _blurred_contacts(film, blur_mm) for blur_mm in BLURS_MM},
    }


def _blurred_contacts(film: JudgedFilm, blur_mm: float) -> list[list[Any]]:
    """Overlaps on the same film, blurred; none where nothing is proposed on it."""
    pixels = blurred(film.pixels, blur_mm=blur_mm, pixel_mm=film.pixel_mm)
    raw = RawImage(pixels=pixels, bits=8, pixel_mm=film.pixel_mm, source="simulated")
    made = DecodedFilm(name=f"film {film.number}", sha256="0" * 64, image=raw)
    proposed = propose_marks(made, packaged_catalogue())
    told = beside_truth(proposed, film.places_mm, pixel_mm=film.pixel_mm)
    contacts: list[list[Any]] = told.get("contacts", [])
    return contacts


def beside_truth(
    proposed: ProposedMarks, places_mm: Mapping[str, Floats], *, pixel_mm: float
) -> dict[str, Any]:
    """What is proposed beside where a film shows its landmarks, as data.

    Parameters
    ----------
    proposed : ProposedMarks
    places_mm : mapping of landmark name to (2,) float array
        From the film's upper-left corner. [mm]
    pixel_mm : float
    """
    marks = proposed.marks
    said: dict[str, Any] = {
        "refused": None if proposed.refused is None else proposed.refused.value,
        "doubts": [each.value for each in proposed.doubts],
    }
    if marks is None:
        return said
    found = {
        name: pixel_mm * np.array([mark.x_px, mark.y_px], dtype=np.float64)
        for name, mark in marks.marks.items()
    }
    doubtful = {
        name
        for name, mark in marks.marks.items()
        if proposed.doubts or mark.doubt not in {None, MarkDoubt.BORDER.value}
    }
    errors = []
    for name in sorted(found.keys() & places_mm.keys()):
        off = found[name] - places_mm[name]
        errors.append(
            [
                name,
                round(float(off[0]), 3),
                round(float(off[1]), 3),
                marks.marks[name].sd_mm,
                name in doubtful,
            ]
        )
    return said | {
        "view": marks.view,
        "marks": len(marks.marks),
        "looked_at": len(proposed.doubtful),
        "doubted": sorted(proposed.doubtful),
        "errors": errors,
        "missing": sorted(places_mm.keys() - found.keys()),
        "surplus": sorted(found.keys() - places_mm.keys()),
        "wrong_numbers": _wrong_numbers(found, places_mm, doubtful),
        "contacts": _contacts(marks, found, places_mm),
    }


def corrections(line: Mapping[str, Any], but: Collection[str] = ()) -> int:
    """How many marks of a film a person has to move, to set or to take away, some left out."""
    off = sum(
        abs(x) > EDGE_OFF_MM if sort_of(name) == EDGE else bool(np.hypot(x, y) > OTHER_OFF_MM)
        for name, x, y, *_ in line["errors"]
        if name not in but
    )
    return int(off) + sum(name not in but for name in (*line["missing"], *line["surplus"]))


def _wrong_numbers(
    found: Mapping[str, Floats], places_mm: Mapping[str, Floats], doubtful: set[str]
) -> list[list[Any]]:
    """Edges that lie on another tooth than they are named for, and whether each was doubted."""
    wrong = []
    for name, place in found.items():
        if name[3:] not in {"mesial", "distal"}:
            continue
        same = [
            (float(np.hypot(*(place - other))), true)
            for true, other in places_mm.items()
            if true[3:] == name[3:] and true[0] == name[0]
        ]
        nearest = min(same, default=(np.inf, ""))
        if nearest[0] < SAME_MM and nearest[1] != name:
            wrong.append([name, nearest[1], name in doubtful])
    return wrong


def _contacts(
    marks: MarkedFilm, found: Mapping[str, Floats], places_mm: Mapping[str, Floats]
) -> list[list[Any]]:
    """Overlap at each contact, true and proposed, and the spread that both its edges state of it.

    [mm at the receptor, negative is open]
    """
    sign = 1.0 if marks.view.startswith("right") else -1.0
    said = []
    for name in sorted(found):
        code = int(name[:2])
        front, back = f"{code}.distal", f"{code + 1}.mesial"
        if name != front or back not in found or not {front, back} <= places_mm.keys():
            continue
        overlaps = [sign * float((at[back] - at[front])[0]) for at in (places_mm, found)]
        sd_mm = math.hypot(*(marks.marks[name].sd_mm or 0.0 for name in (front, back)))
        said.append([f"{code}-{code + 1}", *(round(each, 3) for each in (*overlaps, sd_mm))])
    return said


def figures(lines: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Figures of some films together."""
    marked = [line for line in lines if line["refused"] is None]
    wrong = [line for line in marked if line["wrong_numbers"]]
    unflagged = [line for line in wrong if not all(each[2] for each in line["wrong_numbers"])]
    told: dict[str, Any] = {
        "films": len(lines),
        "refused": len(lines) - len(marked),
        "numbers_right": 1.0 - len(wrong) / max(len(marked), 1),
        "numbers_wrong_unflagged": len(unflagged) / max(len(marked), 1),
        "film_doubted": np.mean([bool(line["doubts"]) for line in marked]),
    }
    for sort in SORT_NAMES:
        own = _of_sort(marked, sort)
        if len(own):
            size = np.hypot(own[:, 0], own[:, 1])
            told[sort] = {
                "count": len(own),
                "median_mm": float(np.median(size)),
                "p95_mm": float(np.quantile(size, 0.95)),
                "along_median_mm": float(np.median(np.abs(own[:, 0]))),
                "along_p95_mm": float(np.quantile(np.abs(own[:, 0]), 0.95)),
                "down_median_mm": float(np.median(np.abs(own[:, 1]))),
                "in_90": [float(each) for each in _within_90(own)],
            }
    contacts = [each for line in marked for each in line["contacts"]]
    if contacts:
        true, found, sd = (np.array([each[k] for each in contacts]) for k in (1, 2, 3))
        told["contacts"] = _overlap_figures(true, found) | _overlap_spreads(true, found, sd)
    seen = sum(len(line["errors"]) + len(line["missing"]) for line in marked)
    told["missing"] = sum(len(line["missing"]) for line in marked) / max(seen, 1)
    told["surplus"] = sum(len(line["surplus"]) for line in marked) / max(seen, 1)
    if marked:
        each = [corrections(line) for line in marked]
        told["corrections"] = [float(np.quantile(each, q)) for q in (0.5, 0.9)]
        sure = [corrections(line, line.get("unsure", ())) for line in marked]
        told["sure_corrections"] = [float(np.median(sure)), float(np.mean(sure))]
        told["marks"] = float(np.median([line["marks"] for line in marked]))
        told["looked_at"] = float(np.median([line["looked_at"] for line in marked]))
    told["seconds"] = float(np.median([line["seconds"] for line in lines]))
    return told


def _of_sort(lines: Sequence[Mapping[str, Any]], sort: str) -> Floats:
    """Errors along and down, and spread stated, of one sort of landmark, (n, 3). [mm]"""
    return np.array(
        [each[1:4] for line in lines for each in line["errors"] if sort_of(each[0]) == sort]
    ).reshape(-1, 3)


def _within_90(own: Floats) -> Floats:
    """Shares of errors along and down (n, 3) that lie within the 90% that their spread states."""
    return np.asarray(np.mean(np.abs(own[:, :2]) <= WITHIN_90_SD * own[:, 2:3], axis=0))


def sort_of(name: str) -> str | None:
    """The sort of a landmark; None of one that the network does not look for."""
    channel = channel_of(name)
    return None if channel is None else SORTS[channel % len(KINDS)]


def _overlap_figures(true: Floats, found: Floats) -> dict[str, Any]:
    far = np.abs(true) >= FAR_FROM_LIMIT_MM
    by = {
        "open": true < -0.1,
        "touching": np.abs(true) <= 0.1,
        "overlapped": true > 0.1,
    }
    return {
        "count": len(true),
        "median_abs_mm": float(np.median(np.abs(found - true))),
        "p95_abs_mm": float(np.quantile(np.abs(found - true), 0.95)),
        "far": int(far.sum()),
        "sign_right": float(np.mean((found > 0) == (true > 0), where=far)),
        "bias_mm": {
            name: [int(own.sum()), float(np.mean(found[own] - true[own])) if own.any() else None]
            for name, own in by.items()
        },
    }


def _overlap_spreads(true: Floats, found: Floats, sd: Floats) -> dict[str, Any]:
    """Of overlaps: within the stated 90%, surely open or overlapped by it, told wrong of these."""
    sure = np.abs(found) > WITHIN_90_SD * sd
    return {
        "in_90": float(np.mean(np.abs(found - true) <= WITHIN_90_SD * sd)),
        "sure": int(sure.sum()),
        "sure_wrong": int(((found > 0) != (true > 0))[sure].sum()),
    }


__all__ = ["JudgedFilm", "beside_truth", "corrections", "figures", "judged", "sort_of"]
