"""Two films at recall by command: what angulation alone does, the card, the picture, refusals."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.files.images import write_image
from bitewright.files.json_documents import check_document
from bitewright.files.marks_file import read_marks, write_marks
from bitewright.marking.marks import MarkOrigin, NumbersSaid
from bitewright.marking.simulated_marker import true_marks
from bitewright.quality.views import view
from tests.scenes import station_of
from tests.surfaces.test_command_line import refusal, said

VIEW, PIXEL_MM = "right-molar", 0.1


@pytest.fixture(scope="module")
def films(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The standard mouth, its tube 12 degrees higher on one later film, as before on another."""
    folder = tmp_path_factory.mktemp("recall")
    at = station_of(VIEW, "sensor-2")
    aims = {
        "earlier": (2.0, "2025-11-02"),
        "later": (14.0, "2026-11-29"),
        "same": (2.5, "2026-11-29"),
    }
    for name, (vertical, day) in aims.items():
        exposure = expose(at, Placement(lingual_mm=6.0), Aim(vertical_deg=vertical))
        landmarks, _ = project(exposure, targets(at.outlines, at.region))
        marks = true_marks(
            landmarks, view(VIEW), pixel_mm=PIXEL_MM, image_name=f"{name}.png", receptor="sensor-2"
        )
        marks = replace(marks, patient="P-1", taken_on=day, mark_sd_mm=0.05)
        write_marks(folder / f"{name}.json", marks)
        pixels = np.full((marks.rows, marks.columns), 9000, dtype=np.uint16)
        write_image(folder / f"{name}.png", pixels, pixel_mm=PIXEL_MM, description="SIMULATED")
    return folder


def test_marks_that_nobody_has_looked_at_are_refused(films: Path) -> None:
    """On either film, and where only the numbers of proposed teeth wait for an answer."""
    marks = read_marks(films / "later.json")
    first = next(iter(marks.marks))
    proposed = replace(marks.marks[first], origin=MarkOrigin.PROPOSED)
    write_marks(films / "proposed.json", replace(marks, marks=marks.marks | {first: proposed}))
    write_marks(films / "asked.json", replace(marks, numbers=NumbersSaid.ASKED))
    for name, why in (("proposed", "1 mark is proposed, not confirmed"), ("asked", "numbered")):
        one, other = films / "earlier.json", films / f"{name}.json"
        assert why in refusal("recall", str(one), str(other))
        assert why in refusal("recall", str(other), str(one))


def test_a_tube_set_higher_is_named_and_the_card_repeats_the_earlier(films: Path) -> None:
    picture, card = films / "both.svg", films / "repeat.html"
    text = said(
        "recall",
        str(films / "earlier.json"),
        str(films / "later.json"),
        "--picture",
        str(picture),
        "--card",
        str(card),
        "--json",
    )
    document = json.loads(text)
    check_document(document, "it", schemas={"bitewright.recall/1": "recall-1.json"})
    differs = {each["part"]: each for each in document["differs"]}
    assert differs["vertical"]["low_deg"] < 12.0 < differs["vertical"]["high_deg"]
    assert not document["comparable"]
    assert {each["mostly_by"] for each in document["sites"] if not each["comparable"]} == {
        "vertical"
    }
    assert abs(document["repeated"]["vertical_deg"] - 2.0) < 4.0
    for each in document["sites"]:
        # One bone in one mouth: what is marked differs by angulation alone.
        at, marked = each["by_angulation"], each["measured"]["value_mm"]
        assert at["low_mm"] - 0.1 < marked < at["high_mm"] + 0.1
    assert "16 mesial" in picture.read_text("utf-8")
    assert "How surely it is known" in card.read_text("utf-8")


@pytest.mark.slow
def test_a_repeated_geometry_is_comparable_and_nothing_is_said_of_disease(films: Path) -> None:
    text = " ".join(said("recall", str(films / "earlier.json"), str(films / "same.json")).split())
    assert "Comparable at every site" in text
    assert "whether disease has changed is judged by a practitioner" in text
    for word in ("progress", "stable", "worse", "loss", "healed"):
        assert word not in text


def test_what_cannot_be_compared_is_refused_in_a_sentence(films: Path, tmp_path: Path) -> None:
    earlier, later = films / "earlier.json", films / "later.json"
    assert "they are the same film" in refusal("recall", str(earlier), str(earlier))
    assert "give the earlier one first" in refusal("recall", str(later), str(earlier))
    marks = read_marks(later)
    changes = {
        "the one is of P-1, the other of P-2": replace(marks, patient="P-2"),
        "no surface has its cemento-enamel junction and its bone crest": replace(
            marks, marks={n: m for n, m in marks.marks.items() if not n.endswith(".crest")}
        ),
        "an exposure takes at least": replace(marks, marks=dict(list(marks.marks.items())[:3])),
    }
    for wanted, changed in changes.items():
        write_marks(tmp_path / "changed.json", changed)
        assert wanted in refusal("recall", str(earlier), str(tmp_path / "changed.json"))
    write_marks(tmp_path / "alone.json", marks)
    no_image = refusal(
        "recall", str(earlier), str(tmp_path / "alone.json"), "--picture", str(tmp_path / "p.png")
    )
    assert "does not lie beside it" in no_image
