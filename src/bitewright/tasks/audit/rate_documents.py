"""Rates as plain data."""

import math
from typing import Any

from bitewright import __version__
from bitewright.audit.proportions import Share
from bitewright.audit.rates import RateTable

RATES_FORMAT = "bitewright.rates/1"


def rates_document(table: RateTable) -> dict[str, Any]:
    """One table of rates alone."""
    return {
        "format": RATES_FORMAT,
        "version": __version__,
        "table": table_document(table),
        "overall": share_document(table.overall),
    }


def table_document(table: RateTable) -> dict[str, Any]:
    """Rates by group."""
    return {
        "by": table.name,
        "event": table.event.value,
        "design_effect": rounded(table.clustering),
        "not_given": table.not_given,
        "groups": [
            {"label": label, **share_document(share)}
            for label, share in zip(table.labels, table.shares, strict=True)
        ],
    }


def share_document(share: Share) -> dict[str, Any]:
    """So many of so many."""
    return {
        "count": share.count,
        "total": share.total,
        "share": rounded(share.share),
        "low": rounded(share.low),
        "high": rounded(share.high),
        "confidence": rounded(share.confidence),
        "enough": share.enough,
    }


def rounded(value: float | None) -> float | None:
    """Five decimals; None for what is not known."""
    return None if value is None or not math.isfinite(value) else round(value, 5)


__all__ = ["rates_document", "rounded", "share_document", "table_document"]
