"""Whatever may be logged comes back from every form it is written in."""

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from bitewright.files.csv_rows import csv_line, plain_cell, safe_cell
from bitewright.log.entry import Act, Entry, RecordedEntry
from bitewright.log.entry_row import ROW_NAMES, entry_of, row_of
from bitewright.log.exposure_state import checked_plain
from bitewright.log.faults import fault_kinds, faults_as_text, faults_from_text
from bitewright.log.fields import DECISIONS, FIELDS, KINDS
from bitewright.quality.views import view_names

words = st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=40)
numbers = st.floats(-50, 50, allow_nan=False).map(float)
faults = st.lists(
    st.fixed_dictionaries(
        {"fault": st.sampled_from(list(fault_kinds()))}, optional={"size": numbers}
    ),
    min_size=1,
    max_size=4,
)
SOME = {
    "room": words,
    "note": words,
    "reason": words,
    "view": st.sampled_from(view_names()),
    "kind": st.sampled_from(KINDS),
    "decision": st.sampled_from(DECISIONS),
    "succeeded": st.booleans(),
    "teeth": st.lists(st.integers(1, 8).map(lambda n: 10 + n), min_size=1, unique=True).map(sorted),
    "forward_mm": numbers,
    "faults": faults,
    "film": st.integers(0, 2**64).map(lambda n: f"{n:064x}"),
}
bodies = st.fixed_dictionaries({}, optional={n: st.none() | s for n, s in SOME.items()})


@given(bodies)
def test_plain_fields_are_taken_as_they_are(body: dict[str, object]) -> None:
    assert checked_plain(body) == body


@given(bodies, st.sampled_from(list(Act)), words)
def test_an_entry_comes_back_from_a_row_of_a_table(
    body: dict[str, object], act: Act, why: str
) -> None:
    entry = Entry(
        key="k",
        act=act,
        about=None if act is Act.EXPOSURE else "a",
        written_at="2026-01-31T10:00:00Z",
        written_by="S1",
        why=why,
        body={name: body[name] for name in FIELDS if name in body},
    )
    recorded = RecordedEntry(number=7, entry=entry, digest="0" * 64)
    row = row_of(recorded)
    line = csv_line([safe_cell(row[name]) for name in ROW_NAMES], separator=";")
    (cells,) = csv.reader(io.StringIO(line), delimiter=";")
    back = dict(zip(ROW_NAMES, map(plain_cell, cells), strict=True))
    assert entry_of(back, "here") == recorded


@given(faults)
def test_faults_come_back_from_text(given_faults: list[dict[str, object]]) -> None:
    assert faults_from_text(faults_as_text(given_faults)) == given_faults
