"""What a visit's films lack, in words: places by name, whole views and sides as such."""

from dataclasses import replace

from bitewright.marking.marks import Mark
from bitewright.mouth.numbering import Side
from bitewright.visit.ledger import Reading, ledger
from bitewright.words.gates import decision_why, not_exposing_words
from bitewright.words.visits import ledger_words
from tests.unit.visit.marked import changed, film, mirrored

SHUT = film("right-premolar", {"44-45": 1.2})


def test_views_and_sides_without_a_film_are_not_told_place_by_place() -> None:
    told = ledger([SHUT])
    first, second, last = ledger_words(told)
    assert first == "No film shows what caries in enamel needs at 44 distal, 45 mesial."
    assert second.startswith("No film was taken for the right molar view (")
    assert "the left side (" in second
    assert "36" not in second
    assert last.endswith("places that are needed can be read.")
    assert not_exposing_words(told)[0].startswith(
        "Do not expose: it leaves unread 44 distal, 45 mesial and all"
    )


def test_a_side_that_nobody_asks_for_is_not_missed() -> None:
    told = ledger([SHUT, film("right-molar")], sides=(Side.RIGHT,))
    assert not any("taken" in sentence for sentence in ledger_words(told))


def test_one_place_is_to_be_marked_and_several_are() -> None:
    told = ledger([film("right-premolar"), film("right-molar")], sides=(Side.RIGHT,))
    for count, them in ((1, "it"), (2, "them")):
        rows = [replace(row, reading=Reading.NOT_MARKED) for row in told.needed()[:count]]
        said = ledger_words(replace(told, rows=(*rows, *told.needed()[count:])))
        assert any(f". Mark {them} before anything is decided." in each for each in said)


def test_places_add_up() -> None:
    told = ledger([SHUT, mirrored(film("right-premolar"))])
    never = [row for row in told.unread if row.reading.value == "not-taken"]
    second = ledger_words(told)[1]
    counts = [int(part.split()[0]) for part in second.split("(")[1:]]
    assert sum(counts) == len(never)
    assert not_exposing_words(replace(told, rows=())) == (
        "Do not expose: it leaves unread nothing that is needed.",
    )


def test_what_nobody_marked_is_marked_before_anything_is_said_of_not_exposing() -> None:
    """16-17 is shut on the molar film; on the premolar film 16 distal is seen, 17 not marked."""
    seen = {"16.distal": Mark(x_px=620.0, y_px=400.0)}
    films = [changed(film("right-premolar"), seen), film("right-molar", {"16-17": 1.4})]
    told = ledger(films, sides=(Side.RIGHT,))
    assert "The other films do not show 16 distal, 17 mesial." in ledger_words(told)
    first, second = not_exposing_words(told)
    assert first.startswith("Mark first: 16 distal, 17 mesial.")
    assert second == "Do not expose before that. All else that is needed can be read."
    assert decision_why("not-exposing", "recall", told).endswith("recall; not marked: 2 places")


def test_what_is_doubtful_is_not_passed_over() -> None:
    films = [film("right-premolar", {"44-45": 0.9}), film("right-molar")]
    told = ledger(films, sides=(Side.RIGHT,))
    (said,) = not_exposing_words(told)
    assert said.startswith("Do not expose: it leaves doubtful 44 distal (")
    assert "unread" not in said
    assert decision_why("not-exposing", "recall", told).endswith("; left doubtful: 2 places")
    assert ledger_words(told)[0] == "No place that caries in enamel needs is unread for certain."
