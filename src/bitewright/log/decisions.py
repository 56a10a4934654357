"""What may be decided on an image: the one list for the log, the command line and the pages."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from types import MappingProxyType

RETAKEN = "retaken"


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionKind:
    """One of the decisions there are.

    Parameters
    ----------
    name, title, says : str
        As logged; as shown; what is meant.
    kept : bool
        Whether the image was kept for assessment; an image that was not counts as rejected.
    code : int
        What stands for it in the columns that audits read.
    """

    name: str
    title: str
    says: str
    kept: bool
    code: int


def _kinds() -> dict[str, DecisionKind]:
    text = (files("bitewright.log") / "tables" / "decisions.toml").read_text("utf-8")
    return {
        name: DecisionKind(name=name, **row)
        for name, row in tomllib.loads(text).items()
        if name != "format"
    }


DECISION_KINDS: Mapping[str, DecisionKind] = MappingProxyType(_kinds())
"""All decisions by name, in the order in which they are offered."""
DECISIONS = tuple(DECISION_KINDS)
REJECTING = tuple(kind.code for kind in DECISION_KINDS.values() if not kind.kept)
"""Codes of the decisions after which an image counts as rejected."""


def decision_title(name: str) -> str:
    """A decision as it is shown."""
    return DECISION_KINDS[name].title


__all__ = ["DECISIONS", "DECISION_KINDS", "REJECTING", "RETAKEN", "DecisionKind", "decision_title"]
