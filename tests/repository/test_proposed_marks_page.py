"""docs/proposed-marks.md tells of the weights and the code that are there now."""

import re

from bitewright.proposing.proposals import MarkDoubt
from builders.proposed_marks_page import PAGE, WEIGHTS, fingerprint

MOST_BYTES = 15_000_000


def test_the_page_was_written_for_these_weights_and_this_code() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert f"`{fingerprint()}`" in page, "run `python -m builders.proposed_marks_page`"
    assert WEIGHTS.stat().st_size <= MOST_BYTES


def test_the_page_names_every_doubt_and_says_who_has_judged_it() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert set(MarkDoubt) <= set(re.findall(r"^\| `([a-z-]+)` \|", page, flags=re.MULTILINE))
    assert "Nobody has judged it on a collection of real films" in page
    assert "not yet" not in page, "a table was never written"
