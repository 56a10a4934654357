"""The checklists at the chair: this record's own most frequent faults, as the audit tells them."""

import html
import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from bitewright.log.entry import Act, Entry
from bitewright.store.appending import append
from bitewright.store.opening import opened_store
from bitewright.tasks.log.store_place import store_place
from bitewright.web.application import create_app
from bitewright.web.permissions import may
from bitewright.web.sessions import Kind
from tests.surfaces.test_command_line import refusal, said

HOME = "http://localhost"
TITLES = {"cone-cut": "cone cut", "overlap": "overlap", "crest-missing": "missing bone crest"}


def plain(*words: str) -> str:
    return " ".join(said(*words).split())


def table(folder: Path, faults: list[str]) -> Path:
    """A film a day, the oldest first; an empty fault is a film that was accepted."""
    rows = [
        f"2026-01-{1 + k:02d},{'rejected' if each else 'accepted'},{each}"
        for k, each in enumerate(faults)
    ]
    path = folder / "log.csv"
    path.write_text("\n".join(["day,decision,faults", *rows]), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("counts", "first"),
    [
        ({"cone-cut": 5, "overlap": 7, "crest-missing": 1}, "overlap"),
        ({"cone-cut": 6, "overlap": 6}, "cone-cut"),
        ({"crest-missing": 2, "overlap": 1}, "crest-missing"),
    ],
)
def test_the_card_and_the_audit_name_the_same_fault_first(
    own_folders: Path, counts: dict[str, int], first: str
) -> None:
    faults = [name for name, count in counts.items() for _ in range(count)]
    path = table(own_folders, ["", "", *faults])
    here, audit = (
        plain("checklists", "here", "--exposures", str(path)),
        plain("audit", "--exposures", str(path)),
    )
    noted = f"oted on {counts[first]} of the {len(faults)} rejected films."
    assert f"{TITLES[first].capitalize()} N{noted}" in here
    assert f"Begin with {TITLES[first]}, n{noted}" in audit
    assert here.index(TITLES[first].capitalize()) == min(
        here.index(TITLES[name].capitalize()) for name in counts
    )


def test_few_faults_bring_the_general_ones_and_say_so(own_folders: Path) -> None:
    path = table(own_folders, ["cone-cut", "cone-cut", *[""] * 20, "crest-missing"])
    told = plain("checklists", "here", "--exposures", str(path))
    assert "Only 3 rejected films have a fault noted; from fewer than 10" in told
    assert "Overlap General: frequent elsewhere, noted on no rejected film here." in told
    newest = plain("checklists", "here", "--exposures", str(path), "--last", "2")
    assert "from 2 films, 2026-01-22 to 2026-01-23, 1 of them rejected" in newest
    assert "Missing bone crest Noted on 1 of the 1 rejected film." in newest
    assert "No film is logged that this could be from." in plain("checklists", "here")


def test_a_card_is_written_or_refused(own_folders: Path) -> None:
    path = table(own_folders, ["cone-cut"] * 12)
    card = own_folders / "card"
    asked = ("checklists", "here", "--exposures", str(path))
    for kind, start in (("pdf", b"%PDF-"), ("html", b"<!doctype html>")):
        said(*asked, "--out", str(card.with_suffix(f".{kind}")), "--paper", "a6")
        assert card.with_suffix(f".{kind}").read_bytes().startswith(start)
    assert "ends in .pdf or .html" in refusal(*asked, "--out", str(card.with_suffix(".txt")))
    assert not card.with_suffix(".txt").exists()
    assert "give a whole number from 1 on" in refusal(*asked, "--last", "0")
    missing = str(own_folders / "no.sqlite")
    assert "no.sqlite" in refusal("checklists", "here", "--store", missing)


def test_the_page_shows_the_same_and_gives_cards(own_folders: Path) -> None:
    assert own_folders
    browser = TestClient(create_app(), base_url=HOME, headers={"origin": HOME})
    page = "/record/checklists"
    assert "No film is logged" in browser.get(page).text
    with opened_store(store_place(None), make=True) as store, store.writing() as connection:
        append(connection, [film(number) for number in range(24)])
    shown = html.unescape(browser.get(f"{page}?until=2026-02-20&last=").text)
    assert "from 20 films, 2026-02-01 to 2026-02-20, 10 of them rejected" in shown
    first = re.findall(r"<h3>(.*?)</h3><p>(.*?)</p>", shown)[0]
    assert first == ("Overlap", "Noted on 7 of the 10 rejected films.")
    audit = html.unescape(browser.get("/record/audit?until=2026-02-20").text)
    assert "<h3>Overlap, noted on 7 of the 10 rejected films</h3>" in audit
    assert f'href="{page}?until=2026-02-20"' in audit
    assert f'href="{page}"' in browser.get("/teach").text
    assert browser.get(f"{page}/a6.pdf?last=5").content.startswith(b"%PDF-")
    assert "from 5 films" in browser.get(f"{page}/a5.html?last=5").text
    for wrong in (f"{page}/a7.pdf", f"{page}?last=0", f"{page}?last=few", f"{page}?since=soon"):
        assert 400 <= browser.get(wrong).status_code < 500
    assert not may(Kind.CLASS, "GET", page)
    assert not may(Kind.CLASS, "GET", f"{page}/a5.pdf")


def film(number: int) -> Entry:
    body: dict[str, object] = {
        "day": f"2026-02-{1 + number:02d}",
        "operator": "S1",
        "reason": "new patient",
        "view": "right-molar",
        "kind": "exposure",
        "decision": "rejected" if number % 2 else "accepted",
        "decided_by": "T1",
    }
    if number % 2:
        body["faults"] = [{"fault": "overlap" if number > 5 else "cone-cut"}]
    return Entry(
        key=f"e-{number}",
        act=Act.EXPOSURE,
        about=None,
        written_at="2026-03-01T08:00:00Z",
        written_by="S1",
        why=None,
        body=body,
    )
