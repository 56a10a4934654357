"""What a visit's films lack, in words: places by name, whole views and sides as such."""

from dataclasses import replace

from bitewright.mouth.numbering import Side
from bitewright.visit.ledger import Reading, ledger
from bitewright.words.gates import leaves_unread
from bitewright.words.visits import ledger_words
from tests.unit.visit.marked import film, mirrored

SHUT = film("right-premolar", {"44-45": 1.2})


def test_views_and_sides_without_a_film_are_not_told_place_by_place() -> None:
    told = ledger([SHUT])
    first, second, last = ledger_words(told)
    assert first == "No film shows what caries in enamel needs at 44 distal, 45 mesial."
    assert second.startswith("No film was taken for the right molar view (")
    assert "the left side (" in second
    assert "36" not in second
    assert last.endswith("places that are needed can be read.")
    assert leaves_unread(told).startswith(
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
    assert leaves_unread(replace(told, rows=())) == (
        "Do not expose: it leaves unread nothing that is needed."
    )
