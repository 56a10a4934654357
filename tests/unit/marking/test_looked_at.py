"""What a person made of proposed marks, counted from the marks as they stand."""

from dataclasses import replace

import pytest

from bitewright.files.marks_file import marks_from_document, marks_to_document
from bitewright.marking.looked_at import LookedAtMarks, looked_at_marks
from bitewright.marking.marks import (
    FirstProposal,
    Mark,
    MarkedFilm,
    MarkedFilmError,
    MarkOrigin,
    MarkStatus,
)

NAMES = ("14.distal", "15.mesial", "15.distal", "15.mesial.crest")
HERE = Mark(x_px=100.0, y_px=50.0)


def film(first: FirstProposal | None, **changed: Mark | None) -> MarkedFilm:
    """Every proposed mark confirmed, but for those given; None takes one away."""
    marks: dict[str, Mark | None] = {
        name: replace(HERE, origin=MarkOrigin.CONFIRMED) for name in NAMES
    }
    marks |= changed
    return MarkedFilm(
        image_name="film.png",
        columns=800,
        rows=600,
        view="right-premolar",
        marks={name: mark for name, mark in marks.items() if mark is not None},
        proposed=first,
    )


def counted(**changed: Mark | None) -> LookedAtMarks:
    made = looked_at_marks(film(FirstProposal(names=NAMES, doubted=NAMES[:2]), **changed))
    assert made is not None
    return made


def test_marks_that_stay_are_accepted_and_the_film_is_unedited() -> None:
    made = counted()
    assert (made.proposed, made.accepted, made.doubted, made.doubted_looked_at) == (4, 4, 2, 2)
    assert made.is_unedited


def test_every_way_of_editing_counts() -> None:
    moved = replace(HERE, origin=MarkOrigin.CORRECTED)
    for changed, what in (
        ({"14.distal": moved}, "corrected"),
        ({"14.distal": HERE}, "corrected"),
        ({"14.distal": None}, "removed"),
        ({"16.mesial": HERE}, "added"),
    ):
        made = counted(**changed)
        assert getattr(made, what) == 1, changed
        assert not made.is_unedited
        assert made.accepted == (4 if what == "added" else 3)
        assert made.doubted_looked_at == 2


def test_another_tooths_number_is_an_edit() -> None:
    other = replace(HERE, origin=MarkOrigin.CONFIRMED)
    made = counted(**{"14.distal": None, "13.distal": other})
    assert (made.removed, made.added, made.is_unedited) == (1, 1, False)


def test_what_is_never_proposed_edits_nothing_when_a_person_sets_it() -> None:
    made = counted(
        **{
            "15.buccal.cusp": HERE,
            "16.mesial.crest": Mark(status=MarkStatus.SHOWN),
            "17.distal": Mark(status=MarkStatus.OUTSIDE),
        }
    )
    assert made.is_unedited


def test_a_doubted_mark_that_stayed_proposed_was_not_looked_at() -> None:
    made = counted(**{"15.mesial": replace(HERE, origin=MarkOrigin.PROPOSED, doubt="faint")})
    assert (made.doubted, made.doubted_looked_at) == (2, 1)


def test_an_older_file_counts_the_marks_that_say_they_were_proposed() -> None:
    made = looked_at_marks(film(None, **{"16.mesial": HERE, "14.distal": None}))
    assert made is not None
    assert (made.proposed, made.removed, made.added) == (3, 0, 0)
    by_hand = film(None, **dict.fromkeys(NAMES, HERE))
    assert looked_at_marks(by_hand) is None


def test_what_was_proposed_at_first_goes_into_the_file_and_comes_back() -> None:
    whole = film(FirstProposal(names=NAMES, doubted=NAMES[:1]), **{"14.distal": None})
    assert marks_from_document(marks_to_document(whole)) == whole
    plain = film(None)
    assert "proposed" not in marks_to_document(plain)
    with pytest.raises(MarkedFilmError, match="one of those proposed"):
        FirstProposal(names=NAMES[:1], doubted=NAMES[1:2])
