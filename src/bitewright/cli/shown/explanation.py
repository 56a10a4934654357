"""An explanation for people: the operator's sentence, the movements, the causes, the paragraph."""

from collections.abc import Collection

from rich.console import Console
from rich.table import Table
from rich.text import Text

from bitewright.cli.screen import caution
from bitewright.cli.shown.tables import STYLES
from bitewright.explanation.correction import Correction, Need, Part
from bitewright.words.corrections import ESTIMATED, CorrectionWords
from bitewright.words.movement_rows import MOVEMENT_HEADINGS, movement_rows
from bitewright.words.titles import STILL

SIGNS = {Need.MOVE: ">", Need.STAY: "=", Need.PERHAPS: "?", Need.UNSURE: "?"}


def show_correction(
    console: Console,
    words: CorrectionWords,
    correction: Correction,
    *,
    lead: bool = True,
    teacher: bool = True,
    receptor_turned: Collection[Part] = (),
) -> None:
    """Print a correction: the operator's sentence first, then why and how sure.

    Parameters
    ----------
    console : Console
    words : CorrectionWords
    correction : Correction
    lead : bool
        Whether to print the operator's sentence, where `show_lead` has not.
    teacher : bool
        Whether to print the paragraph too; doubts about marks are printed in either case.
    receptor_turned : collection of Part
        The tube's movements that the receptor makes instead, with its ring and the tube.
    """
    if lead:
        show_lead(console, words)
    console.print(movements_table(correction, receptor_turned=receptor_turned))
    if words.causes:
        console.print()
        console.print(_causes(words, correction))
    if teacher:
        console.print()
        console.print(Text("For the teacher", "bold"))
        console.print(Text(words.teacher))
    elif words.doubts:
        console.print()
        for doubt in words.doubts:
            console.print(Text(doubt))
    console.print()
    console.print(caution())


def show_lead(console: Console, words: CorrectionWords) -> None:
    """Print what to move, to be read before anything else."""
    console.print(Text(ESTIMATED, "bold"))
    console.print(Text(words.operator))
    console.print()


def movements_table(correction: Correction, *, receptor_turned: Collection[Part] = ()) -> Table:
    """Every movement: about how much, the interval, and whether it is needed."""
    table = Table(title="Movements", title_justify="left", box=None, pad_edge=False)
    for heading in ("", *MOVEMENT_HEADINGS):
        table.add_column(heading)
    for movement, row in movement_rows(correction, receptor_turned=receptor_turned):
        sign = SIGNS[movement.need]
        style = STYLES[sign]
        table.add_row(Text(sign, style), row.name, row.about, row.between, Text(row.need, style))
    return table


def _causes(words: CorrectionWords, correction: Correction) -> Table:
    is_open = correction.verdict in STILL
    title = "What may have been off" if is_open else "Likely causes"
    table = Table(title=title, title_justify="left", box=None, pad_edge=False)
    table.add_column("", justify="right")
    table.add_column("")
    table.show_header = False
    for rank, cause in enumerate(words.causes, start=1):
        table.add_row(f"{rank}.", f"{cause[:1].upper()}{cause[1:]}.")
    return table


__all__ = ["movements_table", "show_correction", "show_lead"]
