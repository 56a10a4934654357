"""`bitewright log` and `store` as a person meets them."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bitewright.audit.counted_by import Dimension
from bitewright.cli.main import app
from bitewright.errors import BitewrightError
from bitewright.files.json_documents import check_document
from bitewright.store.opening import NoStoreError
from bitewright.tasks.log.logged_exposures import logged_exposures
from tests.edges.test_dicom_reading import saved

run = CliRunner()
ADD = ("log", "add", "--operator", "S12", "--supervisor", "T1", "--view", "right-molar")
MAPPING = """\
format = "bitewright.csv-mapping/1"
separator = ";"
decimal = ","
date = "day.month.year"
key_prefix = "paper-"
[columns]
key = "No"
day = "Date"
operator = "Who"
view = "View"
faults = "Fault"
fault_size = "mm"
decision = "Kept"
kind = "Sort"
retake_of = "Of"
[values.decision]
ja = "accepted"
nein = "rejected"
[constants]
supervisor = "T1"
room = "R1"
"""
TABLE = """\
No;Date;Who;View;Fault;mm;Kept;Sort;Of
1;31.01.2026;S1;right molar;overlap;0,62;nein;;
2;31.01.2026;S1;right molar;;;ja;retake;1
3;1.2.2026;S2;left premolar;;;;extra view;
"""


@pytest.fixture(autouse=True)
def here(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of the test's own, with a table and its mapping."""
    monkeypatch.chdir(own_folders)
    Path("table.csv").write_text(TABLE, encoding="utf-8")
    Path("mapping.toml").write_text(MAPPING, encoding="utf-8")
    return own_folders


def said(*arguments: str, code: int = 0) -> str:
    answer = run.invoke(app, list(arguments))
    assert answer.exit_code == code, answer.output + repr(answer.exception)
    return answer.output


def told(*arguments: str, code: int = 0) -> dict[str, object]:
    """The JSON that a command prints, which follows its schema."""
    answer = run.invoke(app, [*arguments, "--json"])
    assert answer.exit_code == code, answer.output + repr(answer.exception)
    document = json.loads(answer.stdout)
    name = document["format"].removeprefix("bitewright.").replace("/", "-")
    check_document(document, name, schemas={document["format"]: f"{name}.json"})
    return dict(document)


def refusal(*arguments: str) -> str:
    answer = run.invoke(app, list(arguments))
    assert isinstance(answer.exception, BitewrightError), answer.output
    assert "\n" not in str(answer.exception)
    return str(answer.exception)


def test_an_exposure_its_retake_the_decision_and_the_history() -> None:
    text = said(*ADD, "--decision", "rejected", "--faults", "cone cut:3", "--kv", "65")
    assert "Exposure recorded as entry 1" in text
    assert "not a medical device" in " ".join(text.split())
    said(*ADD, "--retake-of", "1", "--changed", "tube back", "--key", "second")
    assert "Decision recorded" in said("log", "decide", "second", "accepted", "--by", "T2")
    said("log", "correct", "2", "--set", "room=R2", "--why", "wrong room", "--by", "S12")
    said("log", "name", "set", "T2", "Invented Teacher")
    history = said("log", "show", "2")
    assert "correction by S12: wrong room" in history
    assert "T2 (Invented Teacher)" in history
    document = told("log", "show", "second")
    assert [entry["act"] for entry in document["history"]] == ["exposure", "decision", "correction"]  # type: ignore[index, attr-defined]
    assert document["exposure"]["room"] == "R2"  # type: ignore[index]
    assert "Invented" not in json.dumps(document)
    listed = told("log", "list", "--retakes")
    assert (listed["found"], listed["rejected"], listed["undecided"]) == (1, 0, 0)
    log = logged_exposures()
    assert log.rejected.tolist() == [True, False]
    assert log.retake_succeeded.tolist() == [-1, 1]


def test_a_retaken_image_counts_as_rejected_and_names_the_new_one() -> None:
    for key in ("a", "b", "c"):
        said(*ADD, "--key", key)
    said("log", "decide", "a", "retaken", "--retaken-as", "2", "--by", "T1")
    said("log", "decide", "b", "accepted with a remark", "--by", "T1")
    assert "retaken as" in said("log", "show", "a")
    listed = told("log", "list")
    assert (listed["rejected"], listed["undecided"]) == (1, 1)
    assert logged_exposures().rejected.tolist() == [True, False]
    said("log", "decide", "a", "rejected", "--by", "T1")
    assert "retaken_as" not in told("log", "show", "a")["exposure"]  # type: ignore[operator]
    assert "one of accepted" in refusal("log", "decide", "a", "perhaps", "--by", "T1")
    wrong = ("log", "decide", "c", "accepted", "--retaken-as", "b", "--by", "T1")
    assert "belongs to the decision retaken" in refusal(*wrong)


def test_a_retry_with_the_same_key_adds_nothing() -> None:
    assert told(*ADD, "--key", "k-1")["added"] is True
    assert told(*ADD, "--key", "k-1")["added"] is False
    change = ("log", "correct", "k-1", "--set", "room=R9", "--why", "x", "--by", "T1")
    assert told(*change, "--key", "k-2")["added"] is True
    assert told(*change, "--key", "k-2")["added"] is False
    assert "says something else" in refusal(*ADD, "--key", "k-1", "--room", "R7")
    assert told("store", "check")["entries"] == 2


@pytest.mark.parametrize(
    ("more", "word"),
    [
        (("--day", "31.1.2026"), "2026-01-31"),
        (("--day", "2999-01-01"), "day that has come"),
        (("--case", "Jane Doe"), "names are kept apart"),
        (("--retake-of", "7"), "No exposure"),
        (("--kind", "extra-view", "--changed", "x"), "belongs to a retake"),
        (("--kind", "extra-view", "--retake-of", "1"), "belongs to a retake"),
        (("--key", "12"), "cannot be a key"),
        (("--set", "colour=red"), "no field 'colour'"),
        (("--set", "room"), "equals sign"),
        (("--film", "none.png"), "none.png"),
        (("--by", "two words"), "code"),
    ],
)
def test_what_cannot_be_recorded_is_one_sentence_and_writes_nothing(
    more: tuple[str, ...], word: str
) -> None:
    assert word in refusal(*ADD, *more)
    answer = run.invoke(app, ["log", "list"])
    assert "0 exposures, 0 of them listed" in answer.output or isinstance(
        answer.exception, NoStoreError
    )


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (("--set", "operator=", "--why", "x"), "operator is missing"),
        (("--set", "view=right-molar", "--why", "x"), "Nothing would change"),
        (("--why", "x"), "Nothing would change"),
        (("--set", "room=R2", "--why", ""), "--why"),
        (("--set", "changed=tube", "--why", "x"), "belongs to a retake"),
    ],
)
def test_a_correction_that_cannot_be_is_refused(change: tuple[str, ...], word: str) -> None:
    said(*ADD)
    assert word in refusal("log", "correct", "1", *change, "--by", "T1")
    assert told("store", "check")["entries"] == 1


def test_a_table_is_taken_whole_and_known_again() -> None:
    count = told("log", "import", "table.csv", "--mapping", "mapping.toml")
    assert (count["rows"], count["added"], count["left_out"]) == (3, 3, 0)
    again = told("log", "import", "table.csv", "--mapping", "mapping.toml")
    assert (again["added"], again["already_there"]) == (0, 3)
    rows = told("log", "list")["exposures"]
    assert rows[0]["faults"] == [{"fault": "overlap", "size": 0.62}]  # type: ignore[index]
    assert rows[1]["retake_of"] == "paper-1"  # type: ignore[index]
    assert rows[2]["kind"] == "extra-view"  # type: ignore[index]
    assert len(logged_exposures()) == 2  # one is not decided yet


def test_a_table_without_keys_is_known_by_its_content() -> None:
    """Two rows alike are two exposures, and the same two again."""
    rows = TABLE.splitlines()[0] + "\n" + ";31.01.2026;S1;right molar;;;ja;;\n" * 2
    Path("table.csv").write_text(rows, encoding="utf-8")
    imports = ("log", "import", "table.csv", "--mapping", "mapping.toml")
    assert told(*imports)["added"] == 2
    assert told(*imports)["added"] == 0
    Path("table.csv").write_text(rows + rows.splitlines()[1], encoding="utf-8")
    assert told(*imports)["added"] == 1


BAD = """\
4;31.02.2026;S1;right molar;;;ja;;
5;01.02.2026;S 1;right molar;;;ja;;
6;01.02.2026;S1;right molar;;;vielleicht;;
7;01.02.2026;S1;right molar;;;ja;retake;99
1;02.02.2026;S1;right molar;;;ja;;
8;02.02.2026;S1;right molar;;;ja;;
"""


def test_a_table_with_bad_rows_is_refused_whole_with_line_column_and_reason() -> None:
    Path("table.csv").write_text(TABLE + BAD, encoding="utf-8")
    answer = run.invoke(app, ["log", "import", "table.csv", "--mapping", "mapping.toml"])
    assert isinstance(answer.exception, BitewrightError)
    assert "3 rows of table.csv cannot be taken, so none was" in str(answer.exception)
    assert "line 5, column 'Date'" in str(answer.exception)
    for word in ("Who", "Kept", "vielleicht"):
        assert word in answer.output
    assert "no store" in refusal("log", "list")


def test_what_only_the_store_can_see_refuses_the_whole_table_too() -> None:
    rows = TABLE + BAD.splitlines()[3] + "\n" + BAD.splitlines()[4]
    Path("table.csv").write_text(rows, encoding="utf-8")
    assert "2 rows" in refusal("log", "import", "table.csv", "--mapping", "mapping.toml")
    assert told("store", "check")["entries"] == 0


def test_the_good_rows_are_taken_on_request_with_a_count() -> None:
    Path("table.csv").write_text(TABLE + BAD, encoding="utf-8")
    imports = ("log", "import", "table.csv", "--mapping", "mapping.toml", "--skip-bad-rows")
    count = told(*imports)
    assert (count["rows"], count["added"], count["left_out"]) == (9, 4, 5)
    assert sorted(row["line"] for row in count["bad_rows"]) == [5, 6, 7, 8, 9]  # type: ignore[attr-defined]
    assert "5 bad rows left out" in said(*imports)


def test_a_wrong_mapping_is_one_sentence() -> None:
    Path("mapping.toml").write_text(MAPPING.replace('"Who"', '"Whom"'), encoding="utf-8")
    assert "Whom" in refusal("log", "import", "table.csv", "--mapping", "mapping.toml")
    Path("mapping.toml").write_text(MAPPING.replace("day =", "dag ="), encoding="utf-8")
    assert "dag" in refusal("log", "import", "table.csv", "--mapping", "mapping.toml")
    Path("mapping.toml").write_text("[columns]\nday = 'Date'\n", encoding="utf-8")
    assert "format" in refusal("log", "import", "table.csv", "--mapping", "mapping.toml")


def test_names_are_set_listed_and_forgotten() -> None:
    said(*ADD)
    said("log", "name", "set", "S12", "Invented Nobody")
    assert told("log", "name", "list")["names"] == {"S12": "Invented Nobody"}
    assert "Invented Nobody" in said("log", "show", "1")
    said("log", "name", "forget", "S12")
    assert "Invented" not in said("log", "show", "1")
    assert logged_exposures().labels[Dimension.OPERATOR] == ["S12"]
    assert "No name" in refusal("log", "name", "forget", "S12")
    for name in ("", "x" * 81, "two\nlines"):
        assert "as a name" in refusal("log", "name", "set", "S12", name)


@pytest.mark.parametrize("kind", ["jsonl", "csv", "parquet"])
def test_an_export_makes_the_same_store_again(kind: str) -> None:
    said("log", "import", "table.csv", "--mapping", "mapping.toml")
    said("log", "correct", "1", "--set", "room==R9", "--why", "wrong", "--by", "T1")
    out = told("store", "export", f"e.{kind}", "--decimal-comma")
    back = told("store", "import", f"e.{kind}", "--store", "other.sqlite")
    assert (back["digest"], back["added"]) == (out["digest"], 4)
    assert told("store", "import", f"e.{kind}", "--store", "other.sqlite")["added"] == 0
    first = told("log", "list")
    assert told("log", "list", "--store", "other.sqlite") == first


def test_a_backup_restores_entries_films_and_names() -> None:
    Path("film.bin").write_bytes(b"a film")
    said(*ADD, "--film", "film.bin")
    said("log", "name", "set", "S12", "Invented Nobody")
    out = told("store", "backup", "b.zip")
    assert out["films"] == 1
    back = told("store", "restore", "b.zip", "--store", "again/other.sqlite")
    assert (back["digest"], back["films"]) == (out["digest"], 1)
    assert "Everything is as it was" in said("store", "check", "--store", "again/other.sqlite")
    assert told("log", "name", "list", "--store", "again/other.sqlite")["names"]
    assert "already holds" in refusal("store", "restore", "b.zip")
    said("store", "backup", "n.zip", "--without-names")
    told("store", "restore", "n.zip", "--store", "third.sqlite")
    assert told("log", "name", "list", "--store", "third.sqlite")["names"] == {}


def test_a_backup_that_is_not_whole_is_refused() -> None:
    said(*ADD)
    said("store", "backup", "b.zip")
    content = Path("b.zip").read_bytes()
    Path("b.zip").write_bytes(content[: len(content) // 2])
    assert "no whole backup" in refusal("store", "restore", "b.zip", "--store", "o.sqlite")
    assert "b-none.zip" in refusal("store", "restore", "b-none.zip", "--store", "o.sqlite")


def test_entries_that_are_not_whole_make_no_new_store() -> None:
    said(*ADD)
    said(*ADD)
    said("store", "export", "e.jsonl")
    lines = Path("e.jsonl").read_text(encoding="utf-8").splitlines(keepends=True)
    Path("e.jsonl").write_text("".join(lines[:-1]), encoding="utf-8")
    assert "not whole" in refusal("store", "import", "e.jsonl", "--store", "new/other.sqlite")
    assert not list(Path("new").iterdir())


def test_a_check_that_finds_something_ends_with_status_1() -> None:
    Path("film.bin").write_bytes(b"a film")
    said(*ADD, "--film", "film.bin")
    for path in Path().glob("*/*/*.films/*/*"):
        path.unlink()
    document = told("store", "check", code=1)
    assert "cannot be read" in document["problems"][0]  # type: ignore[index]


def test_where_the_store_is_flag_over_environment_over_file_over_default(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def place() -> str:
        return Path(str(told(*ADD)["store"])).name

    assert place() == "log.sqlite"
    settings = here / "xdg_config_home" / "bitewright" / "settings.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text('format = "bitewright.settings/1"\nstore = "file.sqlite"\n')
    assert place() == "file.sqlite"
    monkeypatch.setenv("BITEWRIGHT_STORE", "environment.sqlite")
    assert place() == "environment.sqlite"
    assert told(*ADD, "--store", "flag.sqlite")["store"] == str(here / "flag.sqlite")
    monkeypatch.delenv("BITEWRIGHT_STORE")
    settings.write_text("store = 'x'\n")
    assert "settings" in refusal(*ADD)


@pytest.mark.parametrize("place", ["x" * 300, "a\0b", "~nobody-by-this-name/x", "cut \ud83d"])
def test_a_store_cannot_lie_where_no_file_can(place: str) -> None:
    for command in (["log", "list"], [*ADD], ["store", "backup", "b.zip"]):
        assert "location is not understood" in refusal(*command, "--store", place)


def test_a_code_that_cannot_be_kept_is_nobodys() -> None:
    said(*ADD)
    assert "half a character" in refusal("log", "name", "forget", "\ud83d")


def test_a_film_that_names_somebody_is_kept_once_somebody_has_looked(here: Path) -> None:
    path = saved(here)
    assert "patient's name, ID and birth date" in refusal(*ADD, "--film", str(path))
    with pytest.raises(NoStoreError):
        logged_exposures()
    said(*ADD, "--film", str(path), "--looked-at")
    path.write_bytes(path.read_bytes()[:-200])
    assert "could not be looked at" in refusal(
        "log", "link", "1", "--by", "S1", "--film", str(path)
    )
