"""An explanation on the terminal and as data: complete, in its order, within its schema."""

import json
from dataclasses import replace
from io import StringIO
from typing import Any

import pytest
from rich.console import Console

from bitewright.cli.shown.explanation import show_correction
from bitewright.explanation.correction import CauseName, Correction, Need, Part, Verdict
from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.files.json_documents import SchemaViolationError, check_document
from bitewright.tasks.documents import correction_document
from bitewright.words.caution import CAUTION
from bitewright.words.corrections import correction_words
from tests.sample_corrections import correction_of, unsure

CORRECTIONS = {
    "move": correction_of({Part.SWING: -7.0, Part.FORWARD: 3.0, Part.VERTICAL: 4.0}),
    "nothing-needs-to-move": correction_of({}),
    "cannot-tell": unsure(correction_of({Part.HEIGHT: -3.0}), Part.SWING, value=1.0, spread=6.0),
}


def assessment(**more: Any) -> dict[str, Any]:
    """The least an assessment can be."""
    return {
        "format": "bitewright.assessment/1",
        "version": "0.1.0",
        "view": "right-premolar",
        "rating": {"scheme": "uk-2020", "grade": "A"},
        "criteria": [],
        "contacts": [],
        "image": "film.png",
        "pixel_mm": 0.02,
        "pixel_from": "the marks",
        "observations": [],
        "caveats": [],
        "overlay": None,
    } | more


def checked(document: dict[str, Any]) -> None:
    check_document(document, "it", schemas={"bitewright.assessment/1": "assessment-1.json"})


def printed(correction: Correction, *, teacher: bool = True) -> str:
    out = StringIO()
    console = Console(file=out, width=4000, highlight=False)
    show_correction(console, correction_words(correction), correction, teacher=teacher)
    return out.getvalue()


@pytest.mark.parametrize("verdict", CORRECTIONS)
def test_an_explanation_follows_the_schema(verdict: str) -> None:
    correction = CORRECTIONS[verdict]
    document = correction_document(correction, correction_words(correction))
    assert document["verdict"] == verdict
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    checked(assessment(explanation=document))


def test_an_assessment_without_explanation_is_still_valid() -> None:
    checked(assessment())


@pytest.mark.parametrize("missing", ["verdict", "movements", "sentences", "settling_marks"])
def test_half_an_explanation_is_refused(missing: str) -> None:
    correction = CORRECTIONS["move"]
    document = correction_document(correction, correction_words(correction))
    document.pop(missing)
    with pytest.raises(SchemaViolationError, match=missing):
        checked(assessment(explanation=document))


@pytest.mark.parametrize("margin", [None, -1.5])
def test_every_word_of_the_model_is_in_the_schema(margin: float | None) -> None:
    correction = CORRECTIONS["move"]
    for name in CauseName:
        causes = (replace(correction.causes[0], name=name),)
        changed = replace(correction, causes=causes, beam_margin_mm=margin)
        checked(assessment(explanation=correction_document(changed, correction_words(changed))))
    for need in Need:
        movements = tuple(replace(each, need=need) for each in correction.movements)
        changed = replace(correction, movements=movements)
        checked(assessment(explanation=correction_document(changed, correction_words(changed))))


def test_figures_keep_their_sign_and_unit() -> None:
    correction = CORRECTIONS["move"]
    document = correction_document(correction, correction_words(correction))
    rows = {row["part"]: row for row in document["movements"]}
    assert set(rows) == {part.value for part in Part}
    assert (rows["swing"]["value"], rows["swing"]["unit"]) == (-7.0, "deg")
    assert rows["swing"]["rim_mm"]["value"] == pytest.approx(-7.3, abs=0.1)
    assert (rows["forward"]["value"], rows["forward"]["unit"]) == (3.0, "mm")
    assert rows["forward"]["rim_mm"] is None
    assert all(row["low"] <= row["value"] <= row["high"] for row in rows.values())


@pytest.mark.parametrize("verdict", CORRECTIONS)
def test_the_operators_sentence_comes_first_and_the_caution_last(verdict: str) -> None:
    correction = CORRECTIONS[verdict]
    words = correction_words(correction)
    lines = [line.strip() for line in printed(correction).splitlines() if line.strip()]
    assert lines[1] == words.operator
    assert lines[-1] == CAUTION
    assert words.teacher in lines
    assert "For the teacher" not in printed(correction, teacher=False)


def test_the_table_says_how_much_and_whether() -> None:
    text = printed(CORRECTIONS["move"])
    rows = {line.split("  ")[1].strip(): line for line in text.splitlines() if "  " in line}
    swing = rows["tube, to front or back"]
    assert "7 degrees to the back; 7 mm at the rim" in swing
    assert "5 and 9 degrees" in swing
    assert swing.rstrip().endswith("yes")
    assert rows["receptor, up or down"].rstrip().endswith("no")
    unsure_row = next(
        line for line in printed(CORRECTIONS["cannot-tell"]).splitlines() if "? " in line[:3]
    )
    assert unsure_row.rstrip().endswith("cannot tell")


@pytest.mark.parametrize("turned", [(), (Part.SWING,), (Part.SWING, Part.VERTICAL)])
def test_the_table_as_data_is_the_table_as_it_is_printed(turned: tuple[Part, ...]) -> None:
    """The light box's paragraph spoke of a table that the page did not have."""
    out = StringIO()
    told = CORRECTIONS["move"]
    words = correction_words(told)
    console = Console(file=out, width=4000, highlight=False)
    show_correction(console, words, told, receptor_turned=turned)
    document = correction_document(told, words, receptor_turned=turned)
    checked(assessment(explanation=document))
    lines = [" ".join(line.split()) for line in out.getvalue().splitlines()]
    for row in document["table"]:
        assert any(line.endswith(" ".join(row.values())) for line in lines)
    assert len(document["table"]) == len(Part) - len(turned)


def test_where_the_rim_was_flush_the_table_has_no_second_turn_beside_it() -> None:
    out = StringIO()
    told = CORRECTIONS["move"]
    console = Console(file=out, width=4000, highlight=False)
    show_correction(
        console, correction_words(told), told, receptor_turned=(Part.SWING, Part.VERTICAL)
    )
    text = out.getvalue()
    assert "  receptor's front end, its ring and the tube with it  " in text
    assert "7 degrees to the teeth" in text
    assert not [line for line in text.splitlines() if "receptor's front end   " in line]


def test_doubts_are_printed_without_the_paragraph_too() -> None:
    doubted = replace(
        CORRECTIONS["move"], doubtful_marks=(DoubtfulMark(name="15.mesial", chance=0.4),)
    )
    assert doubted.verdict is Verdict.MOVE
    assert "check its name and place" in printed(doubted, teacher=False)
