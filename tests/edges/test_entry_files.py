"""A log's entries as JSON Lines, CSV and Parquet: there and back without loss, changes refused."""

import csv
import json
from pathlib import Path

import pytest
from pyarrow import parquet

from bitewright.errors import BitewrightError
from bitewright.files.csv_rows import CsvUnreadableError, plain_cell, rows_of_csv, safe_cell
from bitewright.files.entry_files import EntryFileHead, read_entries, write_entries
from bitewright.files.json_documents import check_document, schema
from bitewright.log.entry import FIRST_DIGEST, RecordedEntry, body_text, sealed
from tests.stores import some_entries

KINDS = (".jsonl", ".csv", ".parquet")


def recorded() -> list[RecordedEntry]:
    digest, made = FIRST_DIGEST, []
    for number, entry in enumerate(some_entries(), start=1):
        digest = sealed(digest, entry, body_text(entry.body))
        made.append(RecordedEntry(number=number, entry=entry, digest=digest))
    return made


def written(path: Path, *, decimal_comma: bool = False) -> Path:
    entries = recorded()
    head = EntryFileHead(entries=len(entries), digest=entries[-1].digest)
    write_entries(path, entries, head, decimal_comma=decimal_comma)
    return path


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("comma", [False, True])
def test_entries_come_back_with_their_seals(tmp_path: Path, kind: str, comma: bool) -> None:  # noqa: FBT001
    path = written(tmp_path / f"e{kind}", decimal_comma=comma)
    assert list(read_entries(path)) == recorded()


def test_csv_is_safe_in_a_spreadsheet_and_speaks_its_language(tmp_path: Path) -> None:
    with written(tmp_path / "e.csv", decimal_comma=True).open(encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file, delimiter=";"))
    assert rows[2]["room"] == "'=R1"
    assert rows[3]["note"] == "''quoted', -dashed; Größe"
    assert rows[2]["contact_error_deg"] == "-3,25"
    assert {row["format"] for row in rows} == {"bitewright.entries/1"}


def test_json_lines_follow_their_schema(tmp_path: Path) -> None:
    lines = written(tmp_path / "e.jsonl").read_text(encoding="utf-8").splitlines()
    head = json.loads(lines[0])
    check_document(head, "head", schemas={"bitewright.entries/1": "entries-1.json"})
    wanted = schema("entries-1.json")["$defs"]["entry"]
    for line in lines[1:]:
        assert set(json.loads(line)) == set(wanted["required"])


def test_parquet_holds_numbers_as_numbers(tmp_path: Path) -> None:
    table = parquet.read_table(written(tmp_path / "e.parquet")).to_pydict()
    assert table["contact_error_deg"][2] == -3.25
    assert table["number"] == list(range(1, 9))
    assert table["room"][2] == "=R1"


@pytest.mark.parametrize("kind", [".jsonl", ".csv"])
@pytest.mark.parametrize(
    ("old", "new"),
    [("cone-cut", "movement"), ("2026-01-31T10", "2026-01-31T11"), ("T2", "T3"), ("a-2", "a-9")],
)
def test_a_changed_file_is_refused(tmp_path: Path, kind: str, old: str, new: str) -> None:
    path = written(tmp_path / f"e{kind}")
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BitewrightError, match="not as it was written"):
        list(read_entries(path))


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_cut_short_is_refused(tmp_path: Path, kind: str) -> None:
    path = written(tmp_path / f"e{kind}")
    content = path.read_bytes()
    path.write_bytes(content[: len(content) - 40])
    with pytest.raises(BitewrightError):
        list(read_entries(path))


def test_json_lines_without_the_last_entry_are_refused(tmp_path: Path) -> None:
    path = written(tmp_path / "e.jsonl")
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[:-1]), encoding="utf-8")
    with pytest.raises(BitewrightError, match="7 entries where 8"):
        list(read_entries(path))


@pytest.mark.parametrize("name", ["e.txt", "e", "e.jsonl", "e.csv", "e.parquet"])
def test_a_file_of_another_kind_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"something,else\n1,2\n")
    with pytest.raises(BitewrightError):
        list(read_entries(tmp_path / name))
    with pytest.raises(BitewrightError):
        list(read_entries(tmp_path / f"none-{name}"))


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "'x", "''", "\tx", "plain", "", "a=b"])
def test_a_safe_cell_is_never_a_formula_and_comes_back(text: str) -> None:
    assert not safe_cell(text).startswith(("=", "+", "-", "@", "\t", "\r"))
    assert plain_cell(safe_cell(text)) == text


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_tables_of_other_programs_are_read(tmp_path: Path, encoding: str, separator: str) -> None:
    path = tmp_path / "t.csv"
    with path.open("w", encoding=encoding, newline="") as file:
        csv.writer(file, delimiter=separator).writerows([["a", "ä"], [], ["1,5", "two\nlines"]])
    rows = list(rows_of_csv(path, separator=None, encoding=None))
    assert rows == [(1, ["a", "ä"]), (4, ["1,5", "two\nlines"])]


def test_a_table_of_another_encoding_says_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes("Größe\n".encode("cp1252"))
    with pytest.raises(CsvUnreadableError, match="encoding in a mapping"):
        list(rows_of_csv(path, separator=None, encoding=None))
    assert list(rows_of_csv(path, separator=None, encoding="cp1252")) == [(1, ["Größe"])]
    with pytest.raises(CsvUnreadableError, match="not known"):
        list(rows_of_csv(path, separator=None, encoding="klingon"))
