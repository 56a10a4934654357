"""`bitewright audit`: is it getting better, for whom, and was it chance?"""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import audit_aim, audit_calendar, audit_gates, audit_surveys, options
from bitewright.cli import audit_options as asked
from bitewright.cli.option_groups import grouped
from bitewright.cli.screen import caution, console, print_json

EXAMPLE = (
    "bitewright audit --by room --change 2025-08-01=training --filter view=right-molar,left-molar"
)


def add_to(app: typer.Typer) -> None:
    """Register the command and those under it."""
    group = typer.Typer(invoke_without_command=True, epilog=f"Example:\n\n{EXAMPLE}")
    group.callback()(grouped(audit))
    for name, command, example in (
        ("report", report, "bitewright audit report --out audit-2025"),
        ("rates", rates, "bitewright audit rates --by view --by room"),
        ("school", school, "bitewright audit school --out school.csv"),
    ):
        group.command(name=name, epilog=f"Example:\n\n{example}")(grouped(command))
    audit_aim.add_to(group)
    audit_gates.add_to(group)
    audit_surveys.add_to(group)
    audit_calendar.add_to(group)
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
    from bitewright.cli.shown.audit import show
    from bitewright.tasks.audit.audit_log import audit_log

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
    from bitewright.cli.shown.rates import rates_shown
    from bitewright.tasks.audit.rate_table import rate_table
    from bitewright.words.rates import undecided_words

    answer = rate_table(asked.request_of(record, by=by, count=count))
    if as_json:
        print_json(answer.document())
        return
    console().print(rates_shown(answer.table))
    if answer.undecided:
        console().print(undecided_words(answer.undecided))


def report(
    out: Annotated[Path, typer.Option(help="Folder for the report and its figures' data.")],
    record: asked.RecordOptions,
    count: asked.CountOptions,
    judge: asked.JudgeOptions,
    title: Annotated[str, typer.Option(help="Heading of the report.")] = "Audit of exposures",
    reader: Annotated[
        str,
        typer.Option(
            "--for",
            help="lead: with grades and faults by person, by code. An operator's code: their "
            "private sheet. Each comes into a folder of its own in --out. Left out: the report for "
            "all, which names nobody.",
        ),
    ] = "",
    examples: Annotated[
        bool,
        typer.Option(
            "--examples",
            help="Show up to two films of the most frequent faults, from your own exercises "
            "(`teach own keep`): real films, with noted consent, named by fault alone.",
        ),
    ] = False,
    decimal_comma: asked.DecimalComma = False,
    seed: asked.Seed = 0,
) -> None:
    """Write an audit as PDF and HTML, with every figure's data as CSV.

    The first page is for whoever decides what is to change; the common report names nobody.
    """
    from bitewright.cli.shown.alarm import show_alarm
    from bitewright.tasks.audit.audit_log import audit_log
    from bitewright.tasks.audit.write_audit_report import write_audit_report
    from bitewright.tasks.teach.example_films import example_films
    from bitewright.words.alarm import alarm_of

    answer = audit_log(asked.request_of(record, count=count, judge=judge, seed=seed))
    films = example_films(answer.told.faults) if examples else None
    written = write_audit_report(
        answer,
        out,
        title=title,
        comma=decimal_comma,
        reader=reader,
        examples=None if films is None else films.shown,
    )
    show_alarm(alarm_of(answer.told), steps=True)
    screen = console()
    if films is not None:
        screen.print(films.says, soft_wrap=True)
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
    from bitewright.tasks.audit.simulate_school import simulate_school
    from bitewright.words.invented_school import how_to_import, planted_words, school_written

    made = simulate_school(out, start=start, seed=seed, effects=effects, comma=decimal_comma)
    screen = console()
    screen.print(school_written(made.exposures, made.path), soft_wrap=True)
    screen.print(how_to_import(made.path, made.mapping), soft_wrap=True)
    if effects:
        screen.print(
            planted_words(made.receptor_date, made.training_date, made.biased, made.by_chance)
        )


__all__ = ["add_to", "audit", "rates", "report", "school"]
