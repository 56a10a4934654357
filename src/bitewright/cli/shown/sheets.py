"""A sheet for people: what was made of it, what is asked, what is wrong, what was taken."""

from collections.abc import Sequence

from rich.table import Table

from bitewright.cli.screen import console
from bitewright.log.decisions import DECISION_KINDS
from bitewright.sheets.questions import SheetQuestion
from bitewright.tasks.log.import_sheet import ImportRecord, SheetImport
from bitewright.tasks.log.understand_sheet import Preview, Proposal
from bitewright.words.log import imported_words, more_bad_rows
from bitewright.words.log_titles import field_title
from bitewright.words.sheets import (
    answer_with,
    answer_words,
    blanks_taken,
    held_title,
    imported_as,
    left_out_title,
    nothing_written,
    question_words,
    sheet_left_out_title,
)

MOST_WORDS = 60


def show_proposal(proposal: Proposal) -> None:
    """Print columns, words, questions and preview."""
    out, sheet = console(), proposal.sheet
    columns = _table("column", "holds")
    for name in sheet.table.headings:
        columns.add_row(name, held_title(sheet.columns[name]) if name in sheet.columns else "?")
    out.print(columns, markup=False)
    words = _table("word", "times", "stands for")
    for each in proposal.words[:MOST_WORDS]:
        words.add_row(
            f"{field_title(each.field)}: {each.word}", str(each.count), each.meaning or "?"
        )
    out.print(words, markup=False)
    if len(proposal.words) > MOST_WORDS:
        out.print(more_bad_rows(len(proposal.words) - MOST_WORDS))
    _show_left_out(proposal)
    show_preview(proposal.preview)
    if proposal.questions:
        show_questions(proposal.questions)
    out.print(nothing_written())


def _show_left_out(proposal: Proposal) -> None:
    table = proposal.sheet.table
    if not (table.left_out or table.sheets_left_out):
        return
    left = _table("sheet", "line", "left out")
    for name, why in table.sheets_left_out:
        left.add_row(name, "", sheet_left_out_title(why))
    for name, line, reason, text in table.left_out[:20]:
        left.add_row(name, str(line), f"{left_out_title(reason)}: {text[:40]}")
    out = console()
    out.print(left, markup=False)
    if len(table.left_out) > 20:
        out.print(more_bad_rows(len(table.left_out) - 20))


def show_preview(preview: Preview) -> None:
    """Print what would be taken, and every fault of every row."""
    out = console()
    if preview.problems:
        faults = _table("sheet", "line", "column", "fault")
        for each in preview.problems:
            faults.add_row(each.sheet, str(each.line), each.heading, each.why)
        out.print(faults, markup=False)
        if preview.problem_count > len(preview.problems):
            out.print(more_bad_rows(preview.problem_count - len(preview.problems)))
        if preview.has_blanks:
            out.print(blanks_taken(), markup=False)
    out.print(preview.said, markup=False)
    decided = [
        f"{preview.decisions[name]} {kind.title}"
        for name, kind in DECISION_KINDS.items()
        if preview.decisions[name]
    ]
    if decided:
        out.print(", ".join(decided), markup=False)


def show_questions(questions: Sequence[SheetQuestion]) -> None:
    """Print what only a person can say, and how to say it."""
    out = console()
    for each in questions:
        out.print(f"{each.ask.value}: {question_words(each)}", style="bold", markup=False)
        for answer in each.answers:
            means = answer_words(each, answer)
            mark = (
                "given" if answer == each.given else "proposed" if answer == each.proposed else ""
            )
            note = ", ".join(filter(None, (means, mark)))
            out.print(f"    {answer}{f' ({note})' if note else ''}", markup=False)
        if each.given is not None and each.given not in each.answers:
            out.print(f"    {each.given} (given)", markup=False)
    still = [each for each in questions if each.given is None]
    if still:
        out.print(answer_with(still), markup=False)


def show_imported(answer: SheetImport) -> None:
    """Print what was taken, and how it is taken back."""
    out = console()
    show_preview(answer.preview)
    out.print(
        imported_words(
            added=answer.added,
            already_there=answer.already_there,
            bad=answer.preview.bad,
            rows=answer.added + answer.already_there + answer.preview.bad,
        )
    )
    if answer.id is not None:
        out.print(imported_as(answer.id), markup=False)
    out.print(f"Store: {answer.store}", style="dim", markup=False)


def show_imports(found: Sequence[ImportRecord]) -> None:
    """Print the imports there are."""
    table = _table("import", "sheet", "exposures", "entries", "written")
    for each in found:
        numbers = f"{each.first} to {each.last}"
        table.add_row(each.id, each.sheet, str(each.exposures), numbers, each.written_at)
    console().print(table, markup=False)


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in headings:
        table.add_column(heading, overflow="fold")
    return table


__all__ = ["show_imported", "show_imports", "show_preview", "show_proposal", "show_questions"]
