"""`bitewright audit`: is it getting better, for whom, and was it chance?"""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table
from rich.text import Text

from bitewright.audit.rates import RateTable
from bitewright.cli import audit_aim, audit_surveys, options
from bitewright.cli import audit_options as asked
from bitewright.cli.spread import spread
from bitewright.cli.tables import STYLES, caution, console, print_json
from bitewright.tasks.audit.audit_documents import rates_document
from bitewright.tasks.audit.audit_log import AuditAnswer, audit_log, rate_table
from bitewright.tasks.audit.simulate_school import simulate_school
from bitewright.tasks.audit.write_audit_report import write_audit_report
from bitewright.words.answer import FOUND_SIGNS
from bitewright.words.audit_answers import actions
from bitewright.words.invented_school import how_to_import, planted_words, school_written
from bitewright.words.rates import interval_words, rate_words, rates_title
from bitewright.words.titles import titled_table

EXAMPLE = (
    "bitewright audit --by room --change 2025-08-01=training --filter view=right-molar,left-molar"
)


def add_to(app: typer.Typer) -> None:
    """Register the command and those under it."""
    group = typer.Typer(invoke_without_command=True, epilog=f"Example:\n\n{EXAMPLE}")
    group.callback()(spread(audit))
    for name, command, example in (
        ("report", report, "bitewright audit report --out audit-2025"),
        ("rates", rates, "bitewright audit rates --by view --by room"),
        ("school", school, "bitewright audit school --out school.csv"),
    ):
        group.command(name=name, epilog=f"Example:\n\n{example}")(spread(command))
    audit_aim.add_to(group)
    audit_surveys.add_to(group)
    app.add_typer(group, name="audit", epilog=f"Example:\n\n{EXAMPLE}")


def audit(
    context: typer.Context,
    record: asked.RecordOptions,
    by: asked.By = None,
    *,
    count: asked.CountOptions,
    judge: asked.JudgeOptions,
    seed: asked.Seed = 0,
    as_json: options.AsJson = False,
) -> None:
    """Audit a record: rates with intervals, change, operators, aim, faults and targets."""
    if context.invoked_subcommand is not None:
        return
    answer = audit_log(asked.request_of(record, by=by, count=count, judge=judge, seed=seed))
    if as_json:
        print_json(answer.document())
        return
    show(answer)


def rates(
    record: asked.RecordOptions,
    by: asked.By = None,
    *,
    count: asked.CountOptions,
    as_json: options.AsJson = False,
) -> None:
    """Give one table of rates with intervals, and nothing else."""
    table = rate_table(asked.request_of(record, by=by, count=count))
    if as_json:
        print_json(rates_document(table))
        return
    console().print(rates_shown(table))


def report(
    out: Annotated[Path, typer.Option(help="Folder for the report and its figures' data.")],
    record: asked.RecordOptions,
    count: asked.CountOptions,
    judge: asked.JudgeOptions,
    title: Annotated[str, typer.Option(help="Heading of the report.")] = "Audit of exposures",
    decimal_comma: asked.DecimalComma = False,
    seed: asked.Seed = 0,
) -> None:
    """Write an audit as PDF and HTML, with every figure's data as CSV."""
    answer = audit_log(asked.request_of(record, count=count, judge=judge, seed=seed))
    written = write_audit_report(answer, out, title=title, comma=decimal_comma)
    screen = console()
    for path in written:
        screen.print(f"Written {path}", soft_wrap=True)
    screen.print(caution())


def school(
    out: Annotated[Path, typer.Option(help="File to write (.csv).")],
    start: Annotated[str, typer.Option(help="First day of the year, YYYY-MM-01.")] = "2025-01-01",
    effects: Annotated[
        bool,
        typer.Option(
            "--effects/--no-effects", help="Plant changes and two biased students, or nothing."
        ),
    ] = True,
    decimal_comma: asked.DecimalComma = False,
    seed: asked.Seed = 1,
) -> None:
    """Make an invented teaching clinic's year of 12000 exposures as demo data."""
    made = simulate_school(out, start=start, seed=seed, effects=effects, comma=decimal_comma)
    screen = console()
    screen.print(school_written(made.exposures, made.path), soft_wrap=True)
    screen.print(how_to_import(made.path, made.mapping), soft_wrap=True)
    if effects:
        screen.print(planted_words(made.receptor_date, made.training_date, made.biased))


def show(answer: AuditAnswer) -> None:
    """Print an audit for people."""
    screen = console()
    table = Table(title="Answers", title_justify="left", box=None, pad_edge=False)
    for heading in ("", "question", "answer"):
        table.add_column(heading, overflow="fold")
    for each in answer.answers:
        sign = FOUND_SIGNS[each.found]
        table.add_row(Text(sign, STYLES[sign]), each.question, each.sentence)
    screen.print(table)
    screen.print()
    screen.print(rates_shown(answer.table))
    screen.print()
    for number, action in enumerate(actions(answer.answers), start=1):
        screen.print(f"{number}. {action}")
    screen.print()
    screen.print(caution())


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


__all__ = ["add_to", "audit", "rates", "report", "school"]
