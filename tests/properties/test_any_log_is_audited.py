"""Whatever a log holds, an audit of it ends in answers, a document for its schema and a page."""

import json
import re
from dataclasses import replace
from datetime import date

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from bitewright.audit.counted_by import Event, Period
from bitewright.audit.simulated_school import SchoolPlan, simulated_school
from bitewright.files.json_documents import check_document
from bitewright.report.html_page import html_page
from bitewright.tasks.audit.audit_log import audit_log
from bitewright.tasks.audit.audit_request import AuditRequest
from bitewright.tasks.audit.write_audit_report import report_page

YEAR = simulated_school(SchoolPlan(first_day=20089), np.random.default_rng(0)).log
CHANGES = ("2025-04-01=a", "2025-08-01=b", "2025-08-01=c")


@settings(max_examples=15, deadline=None)
@given(
    size=st.sampled_from([1, 2, 5, 25, 60, 300]),
    seed=st.integers(0, 10_000),
    days=st.integers(1, 365),
    outcome=st.sampled_from(["as drawn", "none", "all"]),
    period=st.sampled_from(list(Period)),
    event=st.sampled_from(list(Event)),
    changes=st.sampled_from([(), CHANGES[:1], CHANGES]),
    keep=st.sets(st.sampled_from(sorted(YEAR.codes))),
)
def test_any_log_is_audited(size, seed, days, outcome, period, event, changes, keep) -> None:  # noqa: ANN001
    rng = np.random.default_rng(seed)
    mask = np.zeros(len(YEAR), dtype=bool)
    mask[rng.choice(np.flatnonzero(YEAR.day < 20089 + max(days, 3)), size, replace=True)] = True
    log = YEAR.where(mask)
    log = replace(
        log,
        codes={name: log.codes[name] for name in keep},
        labels={name: log.labels[name] for name in keep},
    )
    if outcome != "as drawn":
        log = replace(log, rejected=np.full(len(log), outcome == "all"))
    request = AuditRequest(source=lambda: log, period=period, event=event, changes=changes)
    answer = audit_log(request)
    document = json.loads(json.dumps(answer.document(), allow_nan=False))
    check_document(document, "it", schemas={document["format"]: "audit-1.json"})
    page = report_page(answer, title="any", today=date(2025, 1, 1))
    assert len(page.answers) >= 7
    assert not re.search(r"\bnan\b", html_page(page))
