"""`bitewright audit calendar | settings | dose`: when to audit again, and the dose side."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import audit_options as asked
from bitewright.cli import options
from bitewright.cli.log_options import StoreOption
from bitewright.cli.option_groups import grouped
from bitewright.cli.screen import caution, console, print_json


def add_to(group: typer.Typer) -> None:
    """Register the commands."""
    for name, command, example in (
        ("calendar", calendar, "bitewright audit calendar --every 12 --done 2026-03-31"),
        ("settings", hold_settings, "bitewright audit settings --write settings.toml"),
        ("dose", dose, "bitewright audit dose --filter view=right-molar"),
    ):
        group.command(name=name, epilog=f"Example:\n\n{example}")(grouped(command))


def calendar(
    every: Annotated[
        int | None, typer.Option(min=0, max=60, help="Audit every so many months; 0: not settled.")
    ] = None,
    done: Annotated[
        str | None, typer.Option(help="Note an audit done on a day, YYYY-MM-DD.")
    ] = None,
    again: Annotated[
        str | None, typer.Option(help="With --done: when to audit again, YYYY-MM-DD.")
    ] = None,
    note: Annotated[str, typer.Option(help="With --done: a line; no names of people.")] = "",
    *,
    store: StoreOption = None,
    as_json: options.AsJson = False,
) -> None:
    """Show when the next audit is due and the targets by year; note an audit that was done."""
    from bitewright.tasks.audit.audit_calendar import calendar_today, change_calendar
    from bitewright.tasks.log.record_settings import check_there_is_a_record
    from bitewright.words.audit_calendar import CALENDAR_KEPT

    changed = change_calendar(every=every, done=done, again=again, note=note, store=store)
    check_there_is_a_record(store)
    told = calendar_today(store)
    if as_json:
        print_json(told.document())
        return
    for sentence in ((CALENDAR_KEPT,) if changed else ()) + told.sentences():
        console().print(sentence)


def hold_settings(
    write: Annotated[
        Path | None, typer.Option(help="Write the record's settings as a file to change.")
    ] = None,
    keep: Annotated[
        Path | None, typer.Option(help="Let the settings of such a file hold from now on.")
    ] = None,
    *,
    store: StoreOption = None,
) -> None:
    """Show, write or take in a record's settings: calendar, targets, outputs, reference levels."""
    from bitewright.tasks.log.record_settings import (
        check_there_is_a_record,
        keep_settings,
        settings_text,
        write_settings,
    )
    from bitewright.words.audit_calendar import SETTINGS_KEPT
    from bitewright.words.written import written_to

    if keep is not None:
        keep_settings(keep, store)
        console().print(SETTINGS_KEPT)
    check_there_is_a_record(store)
    if write is not None:
        write_settings(write, store)
        console().print(written_to("Settings", write), soft_wrap=True)
    if keep is None and write is None:
        console().print(
            settings_text(store).decode(), markup=False, highlight=False, soft_wrap=True
        )


def dose(record: asked.RecordOptions, *, as_json: options.AsJson = False) -> None:
    """Show tube settings by view, retakes as a share of exposures, and dose where it was measured.

    In mGy only where a measured output is entered in the record's settings.
    """
    from bitewright.cli.shown.dose import show
    from bitewright.tasks.audit.audit_dose import audit_dose

    told = audit_dose(asked.request_of(record))
    if as_json:
        print_json(told.document())
        return
    show(told)
    console().print(caution())


__all__ = ["add_to", "calendar", "dose", "hold_settings"]
