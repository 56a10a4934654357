"""An invented school's year: what was written, how to take it in, what an audit should find."""

from collections.abc import Sequence

from bitewright.words.phrases import counted, listed


def school_written(exposures: int, path: object) -> str:
    """How many exposures were invented."""
    return f"Written {counted(exposures, 'invented exposure')} to {path}."


def how_to_import(path: object, mapping: object) -> str:
    """The command that takes them into a store."""
    return f"Take it into a store: bitewright log import {path} --mapping {mapping}"


def planted_words(
    receptor_date: str, training_date: str, biased: Sequence[str], by_chance: Sequence[str]
) -> str:
    """What an audit of the year should find; ``by_chance``: who else aims off, unplanted."""
    aims = "aims or places" if len(by_chance) == 1 else "aim or place"
    others = f" By chance of the draw {listed(by_chance)} {aims} off too." if by_chance else ""
    return (
        f"Planted: new receptors from {receptor_date}, another technique from {training_date}, a "
        f"biased aim in {listed(biased)}.{others}"
    )


__all__ = ["how_to_import", "planted_words", "school_written"]
