"""What was caught, as a page: docs/mutants.md."""

import tomllib
from collections.abc import Sequence

from trials.mutants.drawing import DRAWN, HERE, TOP, Mutant
from trials.mutants.trial import Verdict

PAGE = TOP / "docs" / "mutants.md"
REASONS = HERE / "survivors.toml"

Tried = tuple[Mutant, Verdict]

HEAD = """# Bugs planted to try the tests

Written by `make mutants`. A program plants one bug at a time into a copy of the arithmetic and runs
the default tests (`make test`) until one fails. Most bugs are drawn by seed over all places where
arithmetic can be wrong: a sign, a unit, an axis, upper for lower, a square root, one off, least for
greatest, one thing for another of its type (`trials/mutants/sites.py` has the rules; what was drawn
is in `trials/mutants/drawn.csv`). Those by hand are bugs that once went through unnoticed.
"""


def page(tried: Sequence[Tried]) -> str:
    """The page's text."""
    drawn = [each for each in tried if each[0].is_drawn]
    by_hand = [each for each in tried if not each[0].is_drawn]
    lines = [HEAD, "| bugs | planted | caught | share |", "| --- | --- | --- | --- |"]
    of_package = {name: [each for each in drawn if each[0].package == name] for name in DRAWN}
    lines += [_row(*each) for each in of_package.items()]
    lines += [_row("all drawn", drawn), _row("by hand", by_hand)]
    lines += ["", "## Not caught", ""]
    left = [mutant for mutant, verdict in tried if not verdict.by]
    if not left:
        return "\n".join([*lines, "None.", ""])
    lines += ["| where | bug | why it stays |", "| --- | --- | --- |"]
    reasons = tomllib.loads(REASONS.read_text("utf-8"))
    for mutant in left:
        where = f"{mutant.module.removeprefix('bitewright.')} `{mutant.function}`"
        reason = reasons.get(mutant.name, "not yet looked at")
        lines.append(f"| {where} | {bug(mutant)} | {reason} |")
    return "\n".join([*lines, ""])


def bug(mutant: Mutant) -> str:
    """What was changed, in one line."""
    texts = [" ".join(text.split()).replace("|", "\\|") for text in (mutant.before, mutant.after)]
    return f"`{texts[0]}` became `{texts[1]}`"


def _row(name: str, tried: Sequence[Tried]) -> str:
    caught = sum(bool(verdict.by) for _, verdict in tried)
    share = f"{100.0 * caught / len(tried):.0f} %" if tried else ""
    return f"| {name} | {len(tried)} | {caught} | {share} |"


__all__ = ["PAGE", "bug", "page"]
