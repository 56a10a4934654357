"""What docs/mouths.md says of mouths one by one is what this code finds."""

import json

import pytest

from builders.drawn_solids_page import COSTS, RECORD
from trials.drawn_solids import judged_mouth, key_of


@pytest.mark.slow
def test_a_mouth_of_the_run_is_judged_as_it_was() -> None:
    kept = json.loads(RECORD.read_text(encoding="utf-8"))[0]
    found = {name: value for name, value in judged_mouth(key_of(kept)).items() if name not in COSTS}
    again = (
        "run `python -m benchmarks.drawn_mouths` and `python -m builders.drawn_solids_page` again"
    )
    solids, were = found.pop("solids"), kept.pop("solids")
    assert found == kept, again
    assert [name for name, *_ in solids] == [name for name, *_ in were], again
    assert [off for _, off, _ in solids] == pytest.approx([off for _, off, _ in were], abs=0.003)
