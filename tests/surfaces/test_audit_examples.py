"""Example films in an audit report: of one's own exercises with noted consent, when chosen."""

import csv
import json
import re
from base64 import b64decode, b64encode
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from tests.surfaces.test_command_line import refusal, said

CONSENT = ("--consent-by", "Q7", "--consent-on", "2026-01-31", "--no-names-seen")
SAYS = "Taken by S1 on 3 March: look at 45-46."
FAULTS = ("overlap", "overlap", "overlap", "cone-cut", "cone-cut", "movement")
OVERLAP, CUT, MOVED, TILTED = 60, 120, 180, 240
"""Grey of each film, by which it is known again in a report."""


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "own"
    monkeypatch.setattr("bitewright.files.own_folder.user_data_path", lambda *_a, **_k: folder)
    return folder


@pytest.fixture
def table(tmp_path: Path) -> str:
    """Twenty-four films, six of them rejected."""
    path = tmp_path / "log.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(("day", "decision", "operator", "view", "faults"))
        for number in range(24):
            bad = FAULTS[number] if number < len(FAULTS) else ""
            decision = "rejected" if bad else "accepted"
            rows.writerow((f"2026-01-{1 + number:02d}", decision, "S1", "right-molar", bad))
    return str(path)


def keep(tmp_path: Path, name: str, grey: int, *faults: str) -> None:
    film = tmp_path / f"{name}.png"
    Image.new("L", (1200, 900), grey).save(film)
    read = [word for fault in faults for word in ("--fault", fault)]
    said("teach", "own", "keep", name, str(film), *read, "--says", SAYS, *CONSENT)


def report(table: str, tmp_path: Path, *more: str) -> tuple[str, str]:
    """What was told on the screen, and the page."""
    out = tmp_path / "audit"
    told = said("audit", "report", "--exposures", table, "--out", str(out), *more)
    folder = out / "lead" if "lead" in more else out
    assert (folder / "audit.pdf").read_bytes().startswith(b"%PDF-")
    return " ".join(told.split()), (folder / "audit.html").read_text("utf-8")


def films_of(page: str) -> list[int]:
    """The grey of each film that a page shows, in order."""
    found = []
    for given in re.findall(r'src="data:image/png;base64,([^"]+)"', page):
        with Image.open(BytesIO(b64decode(given))) as film:
            assert film.width <= 900
            assert not film.text  # type: ignore[attr-defined]
            found.append(int(film.getpixel((5, 5))))  # type: ignore[arg-type]
    return found


def test_films_of_the_most_frequent_faults_stand_beside_them(table: str, tmp_path: Path) -> None:
    keep(tmp_path, "a-moved", MOVED, "movement")
    keep(tmp_path, "b-tilted", TILTED, "tilted")
    keep(tmp_path, "c-cut", CUT, "cone-cut")
    keep(tmp_path, "d-overlap", OVERLAP, "overlap", "movement")
    told, page = report(table, tmp_path, "--examples")
    assert films_of(page) == [OVERLAP, CUT], "two at most, of the most frequent faults"
    assert "Shown as examples: d-overlap and c-cut" in told
    assert page.index("Faults on rejected exposures") < page.index("data:image")
    assert page.index("data:image") < page.index("faults.csv")
    assert "Overlap and movement.</strong> Here neighbouring crowns overlap at a contact" in page
    words = re.sub(r'src="[^"]*"', "", page)
    for hidden in ("Q7", "2026-01-31", "S1", "3 March", "d-overlap"):
        assert hidden not in words, hidden
    assert films_of(report(table, tmp_path, "--examples", "--for", "lead")[1]) == [OVERLAP, CUT]


def test_the_pdf_holds_them(table: str, tmp_path: Path) -> None:
    keep(tmp_path, "film", OVERLAP, "overlap")
    report(table, tmp_path)
    plain = (tmp_path / "audit" / "audit.pdf").read_bytes()
    report(table, tmp_path, "--examples")
    shown = (tmp_path / "audit" / "audit.pdf").read_bytes()
    assert plain.count(b"/Subtype /Image") + plain.count(b"/Subtype/Image") == 0
    assert shown.count(b"/Subtype /Image") + shown.count(b"/Subtype/Image") > 0


def test_none_is_shown_unless_chosen(table: str, tmp_path: Path) -> None:
    keep(tmp_path, "film", OVERLAP, "overlap")
    told, page = report(table, tmp_path)
    assert films_of(page) == []
    assert "example" not in told


def test_a_dropped_one_is_never_shown(table: str, tmp_path: Path) -> None:
    keep(tmp_path, "film", OVERLAP, "overlap")
    assert films_of(report(table, tmp_path, "--examples")[1]) == [OVERLAP]
    said("teach", "own", "drop", "film")
    told, page = report(table, tmp_path, "--examples")
    assert films_of(page) == []
    assert "no film of your own is kept as an exercise" in told


def test_a_fault_that_nobody_noted_here_has_no_film(table: str, tmp_path: Path) -> None:
    keep(tmp_path, "film", TILTED, "tilted")
    told, page = report(table, tmp_path, "--examples")
    assert films_of(page) == []
    assert "the film kept as an exercise is not read as overlap, cone cut or movement" in told


@pytest.mark.parametrize(
    ("field", "value"), [("no_names_seen", False), ("consent_on", ""), ("consent_on", None)]
)
def test_a_film_without_consent_or_not_looked_through_is_refused(
    table: str, tmp_path: Path, own_folder: Path, field: str, value: object
) -> None:
    keep(tmp_path, "film", OVERLAP, "overlap")
    (kept,) = own_folder.rglob("film.json")
    document = json.loads(kept.read_text("utf-8")) | {field: value}
    if value is None:
        del document[field]
    kept.write_text(json.dumps(document), encoding="utf-8")
    asked = ("audit", "report", "--exposures", table, "--out", str(tmp_path / "audit"))
    assert field in refusal(*asked, "--examples")
    assert not (tmp_path / "audit").exists(), "nothing half-written"
    said(*asked)


def test_what_hides_in_a_kept_picture_is_left_out(
    table: str, tmp_path: Path, own_folder: Path
) -> None:
    keep(tmp_path, "film", OVERLAP, "overlap")
    (kept,) = own_folder.rglob("film.json")
    hidden, out = PngInfo(), BytesIO()
    hidden.add_text("patient", "somebody")
    Image.new("L", (300, 200), OVERLAP).save(out, "PNG", pnginfo=hidden)
    document = json.loads(kept.read_text("utf-8"))
    document["film"] = b64encode(out.getvalue()).decode()
    kept.write_text(json.dumps(document), encoding="utf-8")
    assert films_of(report(table, tmp_path, "--examples")[1]) == [OVERLAP]


def test_a_private_sheet_has_none(table: str, tmp_path: Path) -> None:
    keep(tmp_path, "film", OVERLAP, "overlap")
    asked = ("audit", "report", "--exposures", table, "--out", str(tmp_path / "audit"))
    wrong = refusal(*asked, "--examples", "--for", "S1")
    assert "would look like one of that person's own" in wrong
    assert not (tmp_path / "audit").exists()


def test_a_damaged_film_is_refused_in_a_sentence(
    table: str, tmp_path: Path, own_folder: Path
) -> None:
    keep(tmp_path, "film", OVERLAP, "overlap")
    (kept,) = own_folder.rglob("film.json")
    document = json.loads(kept.read_text("utf-8"))
    document["film"] = b64encode(b"no picture").decode()
    kept.write_text(json.dumps(document), encoding="utf-8")
    asked = ("audit", "report", "--exposures", table, "--out", str(tmp_path / "audit"))
    assert "is damaged: drop it" in refusal(*asked, "--examples")
    assert not (tmp_path / "audit").exists()
