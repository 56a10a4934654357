"""A practice's own checklists: kept, used everywhere, refused in a sentence, dropped."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from bitewright.tasks.catalogue.own_checklists import keep_checklists_text
from bitewright.web.application import create_app
from tests.surfaces.test_command_line import refusal, said

HOME = "http://localhost"
OWN = """format = "bitewright.checklists/1"
[cone-cut]
looks = ["the ring in sight until the button is pressed", "the rim", "the arm"]
source = "staff meeting of March 2026"
"""


def plain(*words: str) -> str:
    return " ".join(said(*words).split())


def test_ones_own_are_kept_used_and_dropped(own_folders: Path) -> None:
    ours, table = own_folders / "ours.toml", own_folders / "log.csv"
    rows = [f"2026-01-{1 + k % 28:02d},rejected,cone-cut" for k in range(30)]
    table.write_text("\n".join(["day,decision,faults", *rows]), encoding="utf-8")
    said("checklists", "write", str(ours))
    assert "Kept: 0 checklists" in plain("checklists", "keep", str(ours))
    ours.write_text(OWN, encoding="utf-8")
    assert "Kept: 1 checklist of your own" in plain("checklists", "keep", str(ours))
    listed = plain("list", "checklists", "--json")
    assert "staff meeting of March 2026" in listed
    assert "common practice, no source" in listed
    assert "(1) the ring in sight until the button" in plain("audit", "--exposures", str(table))
    said("checklists", "cards", str(own_folders / "cards.pdf"), "--fault", "cone-cut")
    assert (own_folders / "cards.pdf").read_bytes().startswith(b"%PDF-")
    assert "hold again" in plain("checklists", "drop")
    assert "flush with the ring" in plain("audit", "--exposures", str(table))


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        (OWN.replace("cone-cut", "cone-cutt"), "Did you mean 'cone-cut'?"),
        (OWN.replace("source", "sauce"), "cone-cut: the field 'sauce' is unknown"),
        (OWN.partition("source")[0], "cone-cut: the field 'source' is missing"),
        (OWN.replace('"the rim"', '""'), "a line of 3 to 200 characters"),
        (OWN.replace("format", "form"), "does not say its format"),
        (OWN.replace("[cone", "cone"), "is not valid TOML"),
    ],
)
def test_a_bad_file_is_refused_and_nothing_is_kept(
    own_folders: Path, changed: str, word: str
) -> None:
    keep_checklists_text(OWN.encode())
    bad = own_folders / "bad.toml"
    bad.write_text(changed, encoding="utf-8")
    assert word in refusal("checklists", "keep", str(bad))
    assert "staff meeting" in said("list", "checklists", "--json")


def test_the_catalogue_shows_takes_and_gives_them(own_folders: Path) -> None:
    assert own_folders
    browser = TestClient(create_app(), base_url=HOME, headers={"origin": HOME})
    file = "/catalogue/checklist-file"
    assert browser.post(file, content=OWN).status_code == 204
    assert "staff meeting of March 2026" in browser.get("/catalogue").text
    assert "staff meeting of March 2026" in browser.get(file).text
    refused = browser.post(file, content=OWN.replace("source", "sauce"))
    assert refused.status_code == 400
    assert "the field 'sauce' is unknown" in refused.json()["error"]
    assert browser.get("/catalogue/checklist-cards").content.startswith(b"%PDF-")
    assert browser.delete(file).status_code == 204
    assert "staff meeting" not in browser.get("/catalogue").text
