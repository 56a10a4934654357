"""docs/proposed-marks.md tells of the weights and the code that are there now."""

import re
from typing import Any

from bitewright.proposing.proposals import MarkDoubt
from bitewright.proposing.refusals import FilmDoubt
from builders.proposed_marks_page import PAGE, WEIGHTS, fingerprint
from builders.proposed_marks_since import since_table

MOST_BYTES = 15_000_000


def test_the_page_was_written_for_these_weights_and_this_code() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert f"`{fingerprint()}`" in page, "judge films anew: see builders/proposed_marks_*.py"
    assert WEIGHTS.stat().st_size <= MOST_BYTES


def test_the_page_names_every_doubt_and_says_who_has_judged_it() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert set(MarkDoubt) <= set(re.findall(r"^\| `([a-z-]+)` \|", page, flags=re.MULTILINE))
    of_files = (PAGE.parent / "marks-format.md").read_text(encoding="utf-8")
    assert all(f"`{doubt}`" in text for doubt in FilmDoubt for text in (page, of_files))
    assert "Nobody has judged it on a collection of real films" in page
    assert "not yet" not in page, "a table was never written"


def film(off_mm: float, *, is_doubted: bool, is_whole: bool) -> dict[str, Any]:
    """A film's line with one edge off along the row, and a junction that no crown tells."""
    return {
        "number": 0,
        "seed": 1,
        "kind": "calm mouths",
        "refused": None,
        "doubts": ["unexplained"] if is_whole else [],
        "seconds": 0.0,
        "marks": 2,
        "looked_at": 2 * is_whole or int(is_doubted),
        "doubted": ["15.distal"] if is_doubted else [],
        "errors": [
            ["15.distal", off_mm, 0.0, 0.2, False],
            ["15.distal.cej", 0.0, 2.0, 0.2, False],
        ],
        "unsure": ["15.distal.cej"],
        "missing": [],
        "surplus": [],
        "wrong_numbers": [],
        "contacts": [],
        "planted": [{"kind": "one mark 1 mm off", "caught": is_doubted}],
    }


def test_films_before_and_after_a_change_stand_side_by_side() -> None:
    before = [film(0.5, is_doubted=False, is_whole=True)]
    now = [film(0.1, is_doubted=True, is_whole=False)]
    rows = since_table(before, now).splitlines()[2:]
    assert rows == [
        "| our own teeth | 1 | before | 100.0% | 0.0% | 2 | 2.0 | 1.0 | 1 of 1 | 0 of 1 | 0 of 0 |",
        "| our own teeth | 1 | now | 0.0% | 0.0% | 1 | 1.0 | 0.0 | 0 of 1 | 1 of 1 | 0 of 0 |",
    ]
