"""Marks files: written and read back, and every bad one refused in one sentence with its place."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from bitewright.errors import BitewrightError
from bitewright.files.json_documents import (
    DocumentFormatError,
    NotJsonError,
    SchemaViolationError,
    schema,
)
from bitewright.files.marks_file import (
    MarksContentError,
    marks_from_document,
    marks_to_document,
    read_marks,
    write_marks,
)
from bitewright.marking.marks import (
    FilmRemark,
    Mark,
    MarkedFilm,
    MarkOrigin,
    MarkStatus,
    Mounting,
)

FILM = MarkedFilm(
    image_name="film-07.png",
    image_sha256="0" * 64,
    columns=1300,
    rows=1000,
    view="right-premolar",
    receptor="plate-2",
    pixel_mm=0.03,
    mounting=Mounting.MIRRORED,
    mark_sd_mm=0.1,
    marks={
        "15.mesial.cej": Mark(x_px=914.25, y_px=302.0, sd_mm=0.2),
        "16.mesiobuccal.cusp": Mark(status=MarkStatus.HIDDEN),
        "47.distal": Mark(status=MarkStatus.OUTSIDE),
        "15.distal": Mark(x_px=9.0, y_px=3.0, origin=MarkOrigin.PROPOSED, doubt="faint"),
        "16.mesial": Mark(x_px=8.0, y_px=3.0, origin=MarkOrigin.CORRECTED),
    },
    observations=(
        FilmRemark(name="bent-plate", note="at the lower front"),
        FilmRemark(name="dark"),
    ),
    note="zweite Lesung, µ",
    marked_by="R2",
)
PLAIN = MarkedFilm(image_name="a.png", columns=9, rows=9, view="left-molar")


def document() -> dict[str, Any]:
    return marks_to_document(FILM)


@pytest.mark.parametrize("film", [FILM, PLAIN])
def test_a_film_comes_back_equal(tmp_path: Path, film: MarkedFilm) -> None:
    write_marks(tmp_path / "a.json", film)
    assert read_marks(tmp_path / "a.json") == film
    assert marks_from_document(marks_to_document(film)) == film
    assert [path.name for path in tmp_path.iterdir()] == ["a.json"]


def test_the_file_is_plain_to_read(tmp_path: Path) -> None:
    write_marks(tmp_path / "a.json", FILM)
    text = (tmp_path / "a.json").read_text(encoding="utf-8")
    assert text.startswith('{\n  "format": "bitewright.marks/1"')
    assert text.endswith("}\n")
    assert "µ" in text


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text(json.dumps(document()), encoding="utf-8-sig")
    assert read_marks(tmp_path / "a.json") == FILM


def test_the_example_in_the_docs_is_valid(repository: Path) -> None:
    page = (repository / "docs" / "marks-format.md").read_text(encoding="utf-8")
    example = re.search(r"```json\n(.*?)```", page, re.DOTALL)
    assert example
    film = marks_from_document(json.loads(example[1]))
    space_px = (film.marks["14.distal"].x_px or 0) - (film.marks["15.mesial"].x_px or 0)
    assert space_px == pytest.approx(11.0)
    assert f"{space_px:g} pixels apart, {space_px * (film.pixel_mm or 0):.2f} mm" in page


def test_every_field_of_the_schema_is_described_and_in_the_docs(repository: Path) -> None:
    page = (repository / "docs" / "marks-format.md").read_text(encoding="utf-8")
    fields = dict(_fields(schema("marks-1.json")))
    assert {"x_px", "sha256", "mark_sd_mm"} <= set(fields)
    silent = [name for name, field in fields.items() if not field.get("description")]
    assert not silent
    ways = ("`{}`", "`{}.", ".{}`")  # image.file explains both of its parts
    unexplained = [n for n in fields if not any(way.format(n) in page for way in ways)]
    assert not unexplained


def _fields(part: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    own = list(part.get("properties", {}).items())
    inner = [*part.get("$defs", {}).values(), *part.get("properties", {}).values()]
    inner += [part["items"]] if "items" in part else []
    return own + [pair for child in inner for pair in _fields(child)]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        (b"", "line 1"),
        (b"{'format': 1}", "line 1, column 2"),
        (b'{\n"format": "bitewright.marks/1",\n}', "line"),
        (b"[]", "not an object"),
        (b'"marks"', "not an object"),
        (b'{"format": "\xff"}', "not UTF-8"),
        (b'{"a": NaN}', "NaN"),
        (b'{"a": -Infinity}', "-Infinity"),
        (b'{"a": 1e999}', "too large"),
        (b'{"a": ' + b"9" * 5000 + b"}", "too many digits"),
        (b'{"a": 1, "a": 2}', "'a' twice"),
        (b'{"a": ' + b"[" * 200_000, "nested too deeply"),
    ],
)
def test_what_is_not_json_is_refused(tmp_path: Path, text: bytes, reason: str) -> None:
    (tmp_path / "a.json").write_bytes(text)
    with pytest.raises(NotJsonError, match=re.escape(reason)):
        read_marks(tmp_path / "a.json")


@pytest.mark.parametrize("given", [None, "bitewright.marks/2", "bitewright.mouth/1", 1, ["x"]])
def test_another_format_is_refused(given: object) -> None:
    with pytest.raises(DocumentFormatError, match=r"must be bitewright\.marks/1"):
        marks_from_document(document() | {"format": given})


SEEN = {"x_px": 1.0, "y_px": 2.0}
SCHEMA_BREACHES: list[tuple[dict[str, Any], str, str]] = [
    ({"extra": 1}, "the top", "'extra' is unknown"),
    ({"image": {"file": "a.png", "rows": 9}}, "image", "'columns' is missing"),
    ({"image": {"file": "x/a.png", "columns": 9, "rows": 9}}, "image / file", "without folders"),
    ({"image": {"file": "a", "columns": 0, "rows": 9}}, "image / columns", "from 1"),
    ({"image": {"file": "a", "columns": True, "rows": 9}}, "image / columns", "whole number"),
    ({"view": "Right"}, "view", "small letters"),
    ({"view": None}, "view", "small letters"),
    ({"pixel_mm": 0.5}, "pixel_mm", "0.005 to 0.2"),
    ({"pixel_mm": "0.03"}, "pixel_mm", "0.005 to 0.2"),
    ({"mounting": "upside-down"}, "mounting", "mirrored"),
    ({"mark_sd_mm": 0}, "mark_sd_mm", "more than 0"),
    ({"marks": []}, "marks", "an object"),
    ({"marks": {"15.mesial": 3}}, "marks / 15.mesial", "an object with x_px"),
    ({"marks": {"15.mesial": {"x_px": 1}}}, "marks / 15.mesial", "'y_px' is missing"),
    ({"marks": {"15.mesial": {}}}, "marks / 15.mesial", "'x_px' is missing"),
    ({"marks": {"15.mesial": SEEN | {"z_px": 1}}}, "marks / 15.mesial", "'z_px' is unknown"),
    ({"marks": {"15.mesial": SEEN | {"sd_mm": -1}}}, "marks / 15.mesial / sd_mm", "more than 0"),
    ({"marks": {"15.mesial": {"status": "lost"}}}, "marks / 15.mesial", "missing"),
    ({"marks": {"15.mesial": SEEN | {"status": "hidden"}}}, "marks / 15.mesial / x_px", "left out"),
    ({"observations": [{"name": "Bent plate"}]}, "observations / 0 / name", "small letters"),
    ({"observations": [{"note": "x"}]}, "observations / 0", "'name' is missing"),
    ({"note": "x" * 4001}, "note", "4000"),
    ({"marked_by": 7}, "marked_by", "code"),
]


@pytest.mark.parametrize(("changed", "place", "problem"), SCHEMA_BREACHES)
def test_a_field_that_is_not_allowed_is_named(
    changed: dict[str, Any], place: str, problem: str
) -> None:
    with pytest.raises(SchemaViolationError, match=re.escape(problem)) as caught:
        marks_from_document(document() | changed, where="film.json")
    assert caught.value.place == place
    assert is_one_sentence(str(caught.value))
    assert str(caught.value).startswith(f"film.json, at {place}: ")


@pytest.mark.parametrize("field", ["image", "view", "mounting", "marks"])
def test_a_missing_field_is_named(field: str) -> None:
    rest = {name: value for name, value in document().items() if name != field}
    with pytest.raises(SchemaViolationError, match=f"'{field}' is missing"):
        marks_from_document(rest)


@pytest.mark.parametrize(
    ("marks", "problem"),
    [
        ({"19.mesial": SEEN}, "ISO 3950"),
        ({"mesial": SEEN}, "ISO 3950"),
        ({"15.front": SEEN}, "'15.mesial' or '15.distal'"),
        ({"15.mesial": {"x_px": 1, "y_px": 1001}}, "outside the image of 1300 by 1000"),
        ({"15.mesial": {"x_px": -1, "y_px": 1}}, "outside the image"),
        ({"15.mesial": {"x_px": float("nan"), "y_px": 1}}, "a finite number"),
    ],
)
def test_a_landmark_that_is_none_or_nowhere_is_refused(marks: dict[str, Any], problem: str) -> None:
    with pytest.raises(MarksContentError, match=re.escape(problem)) as caught:
        marks_from_document(document() | {"marks": marks}, where="film.json")
    assert isinstance(caught.value.cause, BitewrightError)
    assert str(caught.value).startswith("film.json: ")
    assert is_one_sentence(str(caught.value))


def test_a_day_that_is_none_is_refused() -> None:
    for day in ("2026-02-30", "2026-13-01"):
        with pytest.raises(MarksContentError, match="a day such as 2026-11-29"):
            marks_from_document(document() | {"taken_on": day})


def test_nothing_is_written_that_could_not_be_read(tmp_path: Path) -> None:
    film = MarkedFilm(image_name="a", columns=9, rows=9, view="x", note="n" * 4001)
    with pytest.raises(SchemaViolationError, match="note"):
        write_marks(tmp_path / "a.json", film)
    assert not list(tmp_path.iterdir())


def is_one_sentence(message: str) -> bool:
    return message.endswith(".") and "\n" not in message and len(message) < 500
