"""A table of rates for people."""

from rich.table import Table

from bitewright.audit.rates import RateTable
from bitewright.words.rates import interval_words, rate_words, rates_title, titled_table


def rates_shown(table: RateTable) -> Table:
    """Rates by group, with their intervals."""
    table = titled_table(table)
    shown = Table(title=rates_title(table), title_justify="left", box=None, pad_edge=False)
    for heading in (table.name, "of", "rate", "95% interval"):
        shown.add_column(heading, justify="left" if heading == table.name else "right")
    for label, share in zip((*table.labels, "all"), (*table.shares, table.overall), strict=True):
        of = f"{share.count}/{share.total}"
        shown.add_row(label, of, rate_words(share), interval_words(share))
    return shown


__all__ = ["rates_shown"]
