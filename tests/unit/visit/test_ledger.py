"""The ledger of a visit: what its films show together."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bitewright.marking.assess import assess
from bitewright.marking.film_overlaps import film_overlaps
from bitewright.marking.marks import Mark
from bitewright.marking.rating_chances import PRIOR, drawn_rating
from bitewright.marking.visible_places import VISIBLE
from bitewright.mouth.numbering import Side
from bitewright.quality.criteria import Question
from bitewright.quality.questions import NamedQuestion
from bitewright.quality.rating import ContactState
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.ledger import (
    BEST_FIRST,
    Ledger,
    LedgerRow,
    Reading,
    TeethDisagreeError,
    ledger,
)
from bitewright.visit.sites import SurfaceNotInVisitError
from tests.unit.visit.marked import (
    COVERED,
    MAGNIFICATION,
    OFF,
    PIXEL_MM,
    changed,
    film,
    mirrored,
    mirrored_place,
)

RIGHT = (Side.RIGHT,)
WIDE_MM = 1.2
AT_THE_LIMIT_MM = 0.72
"""Near half the usual enamel at 15-16: marks cannot tell."""


def row(of: Ledger, name: str) -> LedgerRow:
    return next(each for each in of.rows if each.name == name)


def test_a_contact_closed_on_one_film_and_open_on_the_other_is_read() -> None:
    closed = film("right-premolar", {"15-16": WIDE_MM})
    opened = film("right-molar")
    alone, both = ledger([closed], sides=RIGHT), ledger([opened, closed], sides=RIGHT)
    assert row(alone, "15.distal").reading is Reading.HIDDEN
    assert "15.distal" in [each.name for each in alone.unread]
    found = row(both, "15.distal")
    assert found.reading is Reading.READABLE
    assert [cell.reading for cell in found.cells] == [Reading.HIDDEN, Reading.READABLE]
    assert both.films[found.best or 0].name == "right-molar"
    assert not both.unread


def test_what_no_film_shows_is_told_apart() -> None:
    one = changed(
        film("right-premolar", {"44-45": WIDE_MM}),
        {"14.distal": OFF, "15.mesial": COVERED, "46.mesial": None},
    )
    told = ledger([one], sides=RIGHT)
    found = {name: row(told, name).reading for name in ("44.distal", "14.distal", "15.mesial")}
    assert found == {
        "44.distal": Reading.HIDDEN,
        "14.distal": Reading.OFF,
        "15.mesial": Reading.HIDDEN,
    }
    assert row(told, "46.mesial").reading is Reading.NOT_MARKED
    assert row(told, "45.distal").reading is Reading.NOT_MARKED, "its neighbour decides"
    assert row(told, "17.mesial").reading is Reading.NOT_TAKEN
    assert row(told, "46.mesial") not in told.unread, "what nobody marked is not said to be unread"
    assert row(told, "17.mesial") in told.unread


def test_a_surface_whose_neighbour_is_off_the_image_is_not_overlapped() -> None:
    one = changed(film("right-premolar"), {"16.mesial": OFF})
    told = ledger([one], sides=RIGHT)
    assert row(told, "15.distal").reading is Reading.READABLE
    assert row(told, "16.mesial").reading is Reading.OFF


def test_beside_a_gap_nothing_overlaps() -> None:
    one = changed(film("right-premolar", absent=(15,)), {"14.distal": Mark(x_px=950, y_px=400)})
    told = ledger([one], sides=RIGHT)
    assert row(told, "14.distal").reading is Reading.READABLE
    assert not [each for each in told.rows if each.name.startswith("15.")]


@pytest.mark.parametrize(
    ("apart_mm", "reading"),
    [(-WIDE_MM, Reading.HIDDEN), (0.2, Reading.READABLE), (2.6, Reading.READABLE)],
)
def test_across_a_missing_tooth_crowns_that_meet_again_may_overlap(
    apart_mm: float, reading: Reading
) -> None:
    """The other contacts are so wide that a film says nothing good of one not measured."""
    edges = _facing(apart_mm)
    one = changed(film("right-premolar", {"44-45": 1.1, "45-46": 1.1}, absent=(15,)), edges)
    for of, name in ((one, "14.distal"), (mirrored(one), "24.distal")):
        told = ledger([of], sides=(of.view.region.side,))
        assert row(told, name).reading is reading
        other = mirrored_place("16.mesial") if name[0] == "2" else "16.mesial"
        assert row(told, other).reading is reading
        assert row(told, name).is_needed
    assert ledger([one], sides=RIGHT).closed == (((14, 16),) if apart_mm < 2.0 else ())


def _facing(apart_mm: float) -> dict[str, Mark]:
    """The edges on either side of 15, so far apart at the contact."""
    half_px = (0.5 * apart_mm * MAGNIFICATION - VISIBLE.edge.outward_mm) / PIXEL_MM
    return {
        "14.distal": Mark(x_px=800.0 + half_px, y_px=400.0),
        "16.mesial": Mark(x_px=800.0 - half_px, y_px=400.0),
    }


def test_a_space_that_one_film_shows_closed_is_a_contact_of_the_visit() -> None:
    closed = changed(film("right-premolar", absent=(15,)), _facing(-WIDE_MM))
    molar = changed(film("right-molar", absent=(15,)), {"16.mesial": Mark(x_px=900, y_px=400)})
    told = ledger([closed, molar], sides=RIGHT)
    found = row(told, "16.mesial")
    assert [cell.reading for cell in found.cells] == [Reading.HIDDEN, Reading.NOT_MARKED]
    assert row(told, "14.distal").reading is Reading.NOT_MARKED, "its neighbour there decides"


def test_an_unmarked_neighbour_of_a_marked_edge_may_be_on_the_film() -> None:
    one = changed(film("right-premolar"), {"16.distal": Mark(x_px=450, y_px=400)})
    assert row(ledger([one], sides=RIGHT), "17.mesial").reading is Reading.NOT_MARKED


def test_chances_are_those_of_the_assessment() -> None:
    """Both by the same model: worked out here, drawn there."""
    one = film("right-premolar", {"15-16": AT_THE_LIMIT_MM, "44-45": 0.55})
    told = ledger([one], sides=RIGHT)
    found = assess(one.marks, one.view, pixel_mm=one.pixel_mm)
    drawn = drawn_rating(found.measurements, Question.ENAMEL, np.random.default_rng(4))
    for column, (front, back) in enumerate(found.wanted.contacts):
        readable = 1.0 - drawn.state_chance(column, ContactState.UNREADABLE)
        for name in (f"{front}.distal", f"{back}.mesial"):
            assert row(told, name).chance == pytest.approx(readable, abs=0.04)


def test_two_doubtful_films_together_as_drawn_by_hand() -> None:
    """A drawing of our own: enamel once for both films, each film's overlap for itself."""
    overlaps = (AT_THE_LIMIT_MM, 0.62)
    films = [
        film(name, {"15-16": mm}, name=name)
        for name, mm in zip(("right-premolar", "right-molar"), overlaps, strict=True)
    ]
    told = row(ledger(films, sides=RIGHT), "15.distal")
    rng = np.random.default_rng(5)
    enamel = 1.0 + PRIOR.enamel.sd_share * rng.standard_normal(200_000)
    readable = np.zeros(200_000, dtype=bool)
    for cell, mm in zip(told.cells, overlaps, strict=True):
        assert cell.overlap_mm == pytest.approx(mm, abs=0.01)
        assert cell.chance is not None
        one = ledger([films[overlaps.index(mm)]], sides=RIGHT)
        assert row(one, "15.distal").chance == pytest.approx(cell.chance)
        drawn = _drawn_overlap_mm(films[overlaps.index(mm)], rng)
        readable |= drawn <= 0.5 * _enamel_mm(films[0]) * enamel
    assert told.chance == pytest.approx(readable.mean(), abs=0.01)
    assert told.chance > max(cell.chance or 0.0 for cell in told.cells)


def _drawn_overlap_mm(of: FilmOfVisit, rng: np.random.Generator) -> np.ndarray:
    """At 15-16, as the film's contacts together let it be."""
    found = assess(of.marks, of.view, pixel_mm=of.pixel_mm)
    measured, contacts = found.measurements, found.wanted.contacts
    together = film_overlaps(measured.overlap_mm[0], measured.sd["overlap_mm"][0], contacts)
    return together.drawn(200_000, rng)[:, contacts.index((15, 16))]


def _enamel_mm(of: FilmOfVisit) -> float:
    found = assess(of.marks, of.view, pixel_mm=of.pixel_mm).measurements
    column = found.wanted.contacts.index((15, 16))
    return float(found.overlap_mm[0, column] / found.enamel_share[0, column])


def test_the_question_decides_what_is_wanted() -> None:
    closed = film("right-premolar", {"15-16": 1.0}, sd_mm=0.05)
    by = {each: ledger([closed], each, sides=RIGHT) for each in (Question.ENAMEL, Question.DENTINE)}
    assert row(by[Question.ENAMEL], "15.distal").reading is Reading.HIDDEN
    assert row(by[Question.DENTINE], "15.distal").reading is Reading.READABLE
    bone = ledger([closed], Question.BONE, sides=RIGHT)
    assert {each.name.endswith(".crest") for each in bone.needed()} == {True}
    named = ledger([closed], NamedQuestion(question=Question.SURFACE, surfaces=("15.distal",)))
    assert [each.name for each in named.needed()] == ["15.distal"]
    with pytest.raises(SurfaceNotInVisitError, match=r"11\.mesial"):
        ledger([closed], NamedQuestion(question=Question.SURFACE, surfaces=("11.mesial",)))


def test_teeth_that_films_disagree_on_are_refused() -> None:
    films = [film("right-premolar", absent=(17,)), film("right-molar")]
    with pytest.raises(TeethDisagreeError, match="Tooth 17 is marked on right-molar"):
        ledger(films)


overlaps = st.fixed_dictionaries(
    {pair: st.floats(-0.3, 1.6) for pair in ("14-15", "15-16", "44-45", "45-46", "16-17", "46-47")}
)


@given(overlaps, overlaps)
@settings(max_examples=15, deadline=None)
def test_order_mirror_and_a_further_film(
    premolar: dict[str, float], molar: dict[str, float]
) -> None:
    first, second = film("right-premolar", premolar), film("right-molar", molar)
    both = ledger([first, second], sides=RIGHT)
    assert ledger([second, first], sides=RIGHT).rows == both.rows
    alone = {each.name: each for each in ledger([first], sides=RIGHT).rows}
    for each in both.rows:
        before = alone[each.name]
        assert each.chance >= before.chance - 1e-12
        assert BEST_FIRST.index(each.reading) <= BEST_FIRST.index(before.reading)
    other = ledger([mirrored(first), mirrored(second)], sides=(Side.LEFT,))
    seen = {each.name: (each.reading, each.best) for each in other.rows}
    assert seen == {mirrored_place(each.name): (each.reading, each.best) for each in both.rows}
    chances = {each.name: each.chance for each in other.rows}
    for each in both.rows:
        assert chances[mirrored_place(each.name)] == pytest.approx(each.chance, abs=1e-9)
