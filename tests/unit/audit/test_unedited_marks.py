"""Films with proposed marks: on how many none was edited, and who looked at them."""

import numpy as np

from bitewright.audit.counted_by import Dimension
from bitewright.audit.unedited_marks import unedited_by_person, unedited_marks
from bitewright.audit.whole_audit import AuditSettings, whole_audit
from bitewright.log.checklists import packaged_checklists
from bitewright.words.audit_answers import audit_answers
from tests.unit.audit.made_logs import made_log

NAN = np.nan


def log_of(repeats: int = 1):  # noqa: ANN201
    """Six films: by hand; a: untouched, moved; b: untouched; nobody said: added, removed."""

    def column(*values: float) -> np.ndarray:
        return np.tile(np.array(values, dtype=np.float32), repeats)

    return made_log(
        rejected=np.zeros(6 * repeats),
        day=20089 + np.arange(6 * repeats) // 6,
        codes={Dimension.MARKS_CONFIRMED_BY: np.tile([-1, 0, 0, 1, -1, -1], repeats).tolist()},
        marks_proposed=column(NAN, 30, 32, 28, 30, 30),
        marks_doubted=column(NAN, 5, 6, 7, 8, 9),
        marks_doubted_looked_at=column(NAN, 5, 6, 0, 8, 9),
        marks_corrected=column(NAN, 0, 2, 0, 0, 0),
        marks_removed=column(NAN, 0, 0, 0, 0, 1),
        marks_added=column(NAN, 0, 0, 0, 1, 0),
    )


def test_only_films_with_proposed_marks_count_and_any_edit_does() -> None:
    found = unedited_marks(log_of())
    assert found is not None
    assert (found.unedited.count, found.unedited.total) == (2, 5)
    assert (found.marks, found.corrected, found.removed, found.added) == (150, 2, 1, 1)
    assert (found.doubted, found.doubted_looked_at) == (35, 28)
    assert unedited_marks(made_log(rejected=[0, 1])) is None


def test_people_are_told_apart_by_code_and_nobody_comes_last() -> None:
    found = unedited_by_person(log_of())
    assert [(each.label, each.unedited.count, each.unedited.total) for each in found] == [
        ("a", 1, 2),
        ("b", 1, 1),
        ("", 0, 2),
    ]
    assert unedited_by_person(made_log(rejected=[0, 1])) == ()


def test_only_the_lead_is_told_who_and_a_record_without_proposals_is_asked_nothing() -> None:
    def answers(log, *, named: bool):  # noqa: ANN001, ANN202
        told = whole_audit(log, AuditSettings(), np.random.default_rng(1))
        found = audit_answers(told, packaged_checklists(), named=named)
        return [each for each in found if each.topic == "proposed-marks"]

    (lead,), (common,) = (answers(log_of(10), named=named) for named in (True, False))
    assert "no mark was edited on 20 of 50 (40.0%" in lead.sentence
    assert "By who looked: a 10 of 20 and b 10 of 10." in lead.sentence
    assert "Of 350 doubted marks, 70 were not looked at one by one." in lead.sentence
    assert "a 10 of 20" not in common.sentence
    assert "the lead's sheet alone tells" in common.sentence
    assert lead.actions
    assert answers(made_log(rejected=np.zeros(30)), named=True) == []
    few = answers(log_of(), named=True)[0]
    assert few.found.value == "too few to tell"
    assert not few.actions
