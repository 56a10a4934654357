"""Marks proposed on films of mouths never learnt from, set beside where those films show them.

What `builders/proposed_marks_page.py` runs and writes down.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from time import perf_counter
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.raw_image import RawImage
from bitewright.proposing.channels import (
    EDGE,
    KINDS,
    PLACES,
    SORTS,
    channel_of,
    tooth_code,
)
from bitewright.proposing.proposals import MarkDoubt
from bitewright.proposing.square import PIXEL_MM, SIDE_PX
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.propose.propose_marks import ProposedMarks, propose_marks

Floats = NDArray[np.float64]
KIND_NAMES = ("calm mouths", "population mouths", "drawn mouths")
"""By seed, as `builders/training_mouths.py` takes turns."""

SAME_MM = 2.0
"""A proposed edge is set beside the true edge nearest to it, if one is as near. Our choice."""

FAR_FROM_LIMIT_MM = 0.3

SORT_NAMES = tuple(dict.fromkeys(SORTS))[:3]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JudgedFilm:
    """A film that was never learnt from, of a right side, and where it shows its landmarks.

    Parameters
    ----------
    number, seed : int
    pixels : (rows, columns) uint16 array
        8 bits.
    places_px : dict of landmark name to (2,) float array
        On the film.
    is_other : bool
        With a look and a receptor that were never learnt from.
    lacks : tuple of int
        Teeth that the mouth lacks.
    """

    number: int
    seed: int
    pixels: NDArray[np.uint16]
    places_px: Mapping[str, Floats]
    is_other: bool
    lacks: tuple[int, ...]


def judged_films(path: Path) -> list[JudgedFilm]:
    """The films of a file that `builders/train_network.py` kept."""
    with np.load(path, allow_pickle=False) as file:
        arrays = dict(file)
    found = []
    for number in range(len(arrays["seeds"])):
        content = BytesIO(arrays[f"film_{number}"].tobytes())
        with Image.open(content) as picture:
            pixels = np.asarray(picture.convert("L")).astype(np.uint16)
        first = (SIDE_PX - np.array(pixels.shape[::-1])) // 2
        places = {
            name: (arrays["places_px"][number, channel] - first).astype(np.float64)
            for name, channel in _names().items()
            if arrays["seen"][number, channel]
        }
        lacks = [
            tooth_code(row, is_right=True)
            for row, told in enumerate(arrays["told"][number])
            if told < 0
        ]
        found.append(
            JudgedFilm(
                number=number,
                seed=int(arrays["seeds"][number]),
                pixels=pixels,
                places_px=places,
                is_other=bool(arrays["is_other"][number]),
                lacks=tuple(lacks),
            )
        )
    return found


def _names() -> dict[str, int]:
    """Channels of a right side's landmarks that are proposed, by name; cusps are not."""
    codes = [tooth_code(row, is_right=True) for row in range(2 * len(PLACES))]
    names = [f"{code}.{kind}" for code in codes for kind in KINDS if "cusp" not in kind]
    return {name: channel for name in names if (channel := channel_of(name)) is not None}


def judged(film: JudgedFilm) -> dict[str, Any]:
    """Propose one film's marks, and how they lie to the truth; geometry is not asked."""
    raw = RawImage(pixels=film.pixels, bits=8, pixel_mm=PIXEL_MM, source="simulated")
    made = DecodedFilm(name=f"film {film.number}", sha256="0" * 64, image=raw)
    started = perf_counter()
    proposed = propose_marks(made, packaged_catalogue(), explain=False)
    seconds = perf_counter() - started
    places = {name: place * PIXEL_MM for name, place in film.places_px.items()}
    return {
        "number": film.number,
        "seed": film.seed,
        "kind": KIND_NAMES[film.seed % len(KIND_NAMES) - 1],
        "is_other": film.is_other,
        "is_upright": film.pixels.shape[0] > film.pixels.shape[1],
        "lacks": list(film.lacks),
        "seconds": round(seconds, 3),
        **beside_truth(proposed, places, pixel_mm=PIXEL_MM),
    }


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
        "errors": errors,
        "missing": sorted(places_mm.keys() - found.keys()),
        "surplus": sorted(found.keys() - places_mm.keys()),
        "wrong_numbers": _wrong_numbers(found, places_mm, doubtful),
        "contacts": _contacts(marks, found, places_mm),
    }


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
    """Overlap at each contact, true and proposed. [mm at the receptor, negative is open]"""
    sign = 1.0 if marks.view.startswith("right") else -1.0
    said = []
    for name in sorted(found):
        code = int(name[:2])
        front, back = f"{code}.distal", f"{code + 1}.mesial"
        if name != front or back not in found or not {front, back} <= places_mm.keys():
            continue
        overlaps = [sign * float((at[back] - at[front])[0]) for at in (places_mm, found)]
        said.append([f"{code}-{code + 1}", *(round(each, 3) for each in overlaps)])
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
                "in_90": float(np.mean(np.abs(own[:, :2]) <= 1.645 * own[:, 2:3])),
            }
    contacts = [each for line in marked for each in line["contacts"]]
    if contacts:
        true, found = (np.array([each[k] for each in contacts]) for k in (1, 2))
        told["contacts"] = _overlap_figures(true, found)
    seen = sum(len(line["errors"]) + len(line["missing"]) for line in marked)
    told["missing"] = sum(len(line["missing"]) for line in marked) / max(seen, 1)
    told["surplus"] = sum(len(line["surplus"]) for line in marked) / max(seen, 1)
    told["seconds"] = float(np.median([line["seconds"] for line in lines]))
    return told


def _of_sort(lines: Sequence[Mapping[str, Any]], sort: str) -> Floats:
    """Errors along and down, and spread stated, of one sort of landmark, (n, 3). [mm]"""
    return np.array(
        [each[1:4] for line in lines for each in line["errors"] if _sort_of(each[0]) == sort]
    ).reshape(-1, 3)


def _sort_of(name: str) -> str:
    channel = channel_of(name)
    return EDGE if channel is None else SORTS[channel % len(KINDS)]


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


__all__ = ["JudgedFilm", "beside_truth", "figures", "judged", "judged_films"]
