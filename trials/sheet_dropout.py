"""How sheets come in with part of the vocabulary gone: `python -m trials.sheet_dropout FOLDER ...`.

A sheet never seen before has words that no table holds. Here that is feigned: a share of all words
is drawn, and every entry of the tables of headings, views, decisions and faults that has one of
them is deleted before a sheet is read. What still comes right does so by what stands in the
columns, by their order and by the questions, which are answered as `trials.sheet_answers` does.
"""

import argparse
import hashlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from bitewright.sheets import fault_phrases, vocabulary
from trials.messy_sheets import outcomes

SHARE = 0.3
THINNED = frozenset({"decisions", "kinds", "sides", "regions", "films"})
"""Parts of the table of words that are thinned out; months, weekdays and yes or no stay."""


def is_gone(word: str, share: float, seed: int) -> bool:
    """Whether an entry of a table has a word that was drawn."""
    return any(_drawn(each, seed) < share for each in word.split())


def _drawn(word: str, seed: int) -> float:
    digest = hashlib.sha256(f"{seed} {word}".encode()).digest()
    return int.from_bytes(digest[:4], "big") / 2**32


def thin_out(share: float, seed: int) -> None:
    """Delete the entries from the tables, before anything has looked at them."""

    def thinned(words: Mapping[str, Any]) -> dict[str, Any]:
        return {
            name: [word for word in held if not is_gone(word, share, seed)]
            for name, held in words.items()
        }

    def without(read: Callable[[str], dict[str, Any]]) -> Callable[[str], dict[str, Any]]:
        def table(name: str) -> dict[str, Any]:
            whole = read(name)
            if name != "words.toml":
                return thinned(whole)
            return {
                part: thinned(held) if part in THINNED else held for part, held in whole.items()
            }

        return table

    vocabulary._table = without(vocabulary._table)  # type: ignore[assignment]  # noqa: SLF001
    whole_parts = dict(fault_phrases._table())  # noqa: SLF001
    fault_phrases._table = lambda: {  # type: ignore[assignment]  # noqa: SLF001
        **whole_parts,
        "parts": thinned(whole_parts["parts"]),
    }


def main() -> None:
    """Print how many exposures came right, of each sheet and of all."""
    asked = argparse.ArgumentParser(prog="python -m trials.sheet_dropout")
    asked.add_argument("folders", nargs="+", type=Path)
    asked.add_argument("--share", type=float, default=SHARE)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--all", action="store_true", help="what went wrong with each sheet")
    given = asked.parse_args()
    thin_out(given.share, given.seed)
    right = expected = sheets = whole = nothing = asked_for = 0
    for folder in given.folders:
        for each in outcomes(folder, by_exposures=True):
            sheets, whole, right = sheets + 1, whole + each.is_right, right + each.right
            nothing += each.expected > 0 and each.right < 0.1 * each.expected
            expected, asked_for = expected + each.expected, asked_for + each.answers
            print(f"{each.name}: {each.right} of {each.expected}, {each.answers} answers")
            if given.all and not each.is_right:
                print(f"      {'; '.join(each.said)[:600]}")
                print(f"      {each.refused} {dict(each.differences)} open {each.open}")
                for line in [*each.examples[:3], *each.missed[:3], *each.extra[:2]]:
                    print(f"        {line[:170]}")
    print(
        f"share {given.share:g}, seed {given.seed}: {right} of {expected} exposures "
        f"({right / max(1, expected):.0%}), {whole} of {sheets} sheets wholly right, {nothing} "
        f"with less than a tenth, {asked_for / max(1, sheets):.1f} answers each"
    )


if __name__ == "__main__":
    main()
