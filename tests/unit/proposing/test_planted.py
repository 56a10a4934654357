"""What is wrong without the network's doubt: geometry doubts it, and the count of it is honest."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.estimation.exposure_unknowns import exposures_at, usual_unknowns
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.marking.marks import Mark, MarkedFilm, MarkOrigin
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.proposing.proposals import MarkDoubt, proposals
from bitewright.quality.views import view
from bitewright.tasks.propose.propose_marks import ProposedMarks
from bitewright.tasks.propose.unexplained import unexplained
from tests.scenes import station_of
from tests.unit.proposing.test_proposals import row_of_teeth
from trials.planted_proposals import Planted, became, caught_table, shifted

PIXEL_MM = 0.05
OFF_MM = 1.0
VIEW = view("right-premolar")


@cache
def right() -> MarkedFilm:
    """Marks of the standard mouth, set as proposed ones are and as far off; no cusps."""
    at = station_of(receptor="sensor-2")
    exposure = exposures_at(at, usual_unknowns(at)[None])
    shown, _ = project(exposure, targets(at.outlines, at.region))
    film = marked_by_simulation(
        shown,
        VIEW,
        pixel_mm=PIXEL_MM,
        image_name="film",
        receptor="sensor-2",
        sd_mm=0.12,
        generator=np.random.default_rng(4),
    )
    marks = {
        name: replace(mark, sd_mm=0.15, origin=MarkOrigin.PROPOSED)
        for name, mark in film.marks.items()
        if mark.x_px is not None and not name.endswith("cusp")
    }
    return replace(film, marks=marks)


def moved(film: MarkedFilm, name: str, by_px: float) -> MarkedFilm:
    mark = film.marks[name]
    assert mark.x_px is not None
    return replace(film, marks={**film.marks, name: replace(mark, x_px=mark.x_px + by_px)})


@pytest.mark.slow
def test_teeth_named_one_place_off_and_a_mark_that_was_moved_are_not_explained() -> None:
    known = packaged_catalogue()
    told = unexplained(right(), known)
    assert not told.is_whole_film
    assert len(told.names) <= 2

    further_back = {f"{int(name[:2]) + 1}{name[2:]}": mark for name, mark in right().marks.items()}
    assert unexplained(replace(right(), marks=further_back), known).is_whole_film

    name = "15.mesial.cej"
    told = unexplained(moved(right(), name, OFF_MM / PIXEL_MM), known)
    assert name in told.names
    assert not told.is_whole_film


def with_bone_lost(film: MarkedFilm, most_mm: float) -> MarkedFilm:
    """The crest lower, at each tooth otherwise: further up on the film above, down below."""
    own, marks = np.random.default_rng(0), dict(film.marks)
    for name in [name for name in marks if name.endswith(".crest")]:
        mark = marks.pop(name)
        assert mark.y_px is not None
        by_px = float(own.uniform(0.0, most_mm)) / PIXEL_MM
        y_px = mark.y_px + (-by_px if name[0] == "1" else by_px)
        if 0 < y_px < film.rows:
            marks[name] = replace(mark, y_px=y_px)
    return replace(film, marks=marks)


@pytest.mark.slow
def test_bone_that_is_lost_makes_a_person_look_at_crests_not_at_every_mark() -> None:
    known = packaged_catalogue()
    film = with_bone_lost(right(), 6.0)
    told = unexplained(film, known)
    assert not told.is_whole_film
    assert told.names
    assert all(name.endswith(".crest") for name in told.names)
    further_back = {f"{int(name[:2]) + 1}{name[2:]}": mark for name, mark in film.marks.items()}
    assert unexplained(replace(film, marks=further_back), known).is_whole_film


@pytest.mark.slow
def test_a_lost_tooth_into_whose_gap_its_neighbour_drifted_is_explained() -> None:
    """Of the row above all behind the gap stands 4 mm further to the front."""
    known = packaged_catalogue()
    drifted = {}
    for name, mark in right().marks.items():
        if name.startswith("15."):
            continue
        behind = name[0] == "1" and int(name[1]) > 5
        assert mark.x_px is not None
        drifted[name] = replace(mark, x_px=mark.x_px + behind * 4.0 / PIXEL_MM)
    assert not unexplained(replace(right(), marks=drifted), known).is_whole_film


def test_teeth_are_shifted_with_all_that_the_network_says_of_them() -> None:
    read = row_of_teeth()
    before = {each.name: each.place_px for each in proposals(read, is_right=True)}
    back = {each.name: each.place_px for each in proposals(shifted(read, 1, (0, 1)), is_right=True)}
    assert back == {f"{int(name[:2]) + 1}{name[2:]}": at for name, at in before.items()}
    front = proposals(shifted(read, -1, (1,)), is_right=True)
    assert {each.code for each in front} == {13, 14, 15, 16, 17, 43, 44, 45, 46}
    assert {each.name: each.place_px for each in front}["46.distal"] == before["47.distal"]


def test_only_what_a_person_must_look_at_counts_as_caught() -> None:
    here = Mark(x_px=100.0, y_px=50.0, origin=MarkOrigin.PROPOSED)
    doubted = replace(here, x_px=120.0, doubt=MarkDoubt.BORDER.value)
    names = {"15.mesial": replace(here, x_px=120.0), "15.distal": here}
    before = replace(right(), marks={"15.mesial": here, "15.distal": here})

    def said(marks: dict[str, Mark]) -> dict[str, object]:
        made = ProposedMarks(name="film", marks=replace(right(), marks=marks))
        return became(made, before, ["15.mesial"], pixel_mm=PIXEL_MM)

    assert said(names) == {"caught": False, "why": [], "put_back": False}
    assert said({**names, "15.mesial": doubted})["why"] == ["border"]
    other = {**names, "15.distal": doubted}
    assert not said(other)["caught"], "another mark's doubt leads nobody to this one"
    assert said({**names, "15.mesial": here}) == {"caught": False, "why": [], "put_back": True}
    assert said({"15.distal": here})["caught"], "what is gone misleads nobody"

    lines = [{"planted": [{"kind": Planted.MARK_OFF.value, "names": ["15.mesial"], **said(names)}]}]
    assert "| one mark 1 mm off | 1 | 0.0% | 0.0% | 0.0% | 100.0% |" in caught_table(lines)
