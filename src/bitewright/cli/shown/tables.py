"""Tables for people: findings, contacts, edges, tolerances."""

from collections.abc import Iterable, Sequence

from rich.table import Table
from rich.text import Text

from bitewright.exposing.receptor_edges import EdgePlace
from bitewright.quality.findings import ContactFinding, Finding
from bitewright.words.contacts import enamel_words, overlap_words
from bitewright.words.placement import edge_words, told_edges
from bitewright.words.reasons import reason
from bitewright.words.verdicts import OUTCOME_SIGNS, OUTCOME_WORDS, STATE_SIGNS, STATE_WORDS

STYLES = {
    "=": "green",
    "~": "yellow",
    "x": "red",
    "!!": "bold red",
    "!": "yellow",
    ">": "yellow",
    "?": "bright_black",
    "-": "default",
}
"""How a state's sign is shown."""


def findings_table(findings: Iterable[Finding]) -> Table:
    """Criteria with outcome and reason, the worst first."""
    table = Table(title="Criteria", title_justify="left", box=None, pad_edge=False)
    table.add_column("")
    table.add_column("criterion")
    table.add_column("outcome")
    table.add_column("why")
    for finding in findings:
        sign = OUTCOME_SIGNS[finding.outcome]
        table.add_row(
            Text(sign, STYLES[sign]),
            finding.criterion.title,
            Text(OUTCOME_WORDS[finding.outcome], STYLES[sign]),
            reason(finding),
        )
    return table


def contacts_table(
    contacts: Sequence[ContactFinding], extra: dict[str, dict[str, str]] | None = None
) -> Table:
    """Contacts with overlap, share of enamel and state; extra columns by heading and contact."""
    table = Table(title="Contacts", title_justify="left", box=None, pad_edge=False)
    for heading in ("", "contact", "overlap mm", "of enamel", "state", *(extra or {})):
        table.add_column(heading, justify="right" if heading in _RIGHT else "left")
    for contact in contacts:
        table.add_row(
            STATE_SIGNS[contact.state],
            contact.name,
            overlap_words(contact),
            enamel_words(contact),
            STATE_WORDS[contact.state],
            *(column.get(contact.name, "") for column in (extra or {}).values()),
        )
    return table


def edges_table(edges: Iterable[EdgePlace]) -> Table:
    """Where the receptor's edges lie against the upper and the lower teeth."""
    table = Table(
        title="Receptor against the teeth", title_justify="left", box=None, pad_edge=False
    )
    for heading in ("edge", "upper", "lower"):
        table.add_column(heading)
    rows: dict[str, dict[bool, str]] = {}
    for title, edge in told_edges(edges):
        rows.setdefault(title, {})[edge.upper] = edge_words(edge)
    for name, words in rows.items():
        table.add_row(name, words.get(True, ""), words.get(False, ""))
    return table


_RIGHT = {"overlap mm", "of enamel"}


__all__ = [
    "STYLES",
    "contacts_table",
    "edges_table",
    "findings_table",
]
