"""`bitewright log`: record exposures, correct, decide, link, import."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bitewright.cli import log_deciding, log_names, log_reading, log_sheets
from bitewright.cli.log_options import (
    By,
    EntryOptions,
    Exposure,
    LookedAt,
    Setting,
    Why,
    settings,
)
from bitewright.cli.option_groups import grouped
from bitewright.cli.screen import print_json

if TYPE_CHECKING:
    from bitewright.tasks.log.record_exposure import Recorded

log_app = typer.Typer(
    name="log",
    help="Record exposures, rejects and retakes so that nothing is lost, and read them again.",
    no_args_is_help=True,
)

EXAMPLE_OF_ADD = (
    "bitewright log add --operator S12 --view right-molar --decision accepted --decided-by T1"
)


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    for name, command, example in (
        ("add", add, EXAMPLE_OF_ADD),
        ("correct", correct, "bitewright log correct 12 --set room=R2 --why 'wrong room' --by T1"),
        (
            "decide",
            decide_command,
            "bitewright log decide 12 rejected --by T1 --why 'cone cut at 16'",
        ),
        ("link", link, "bitewright log link 12 --film film.png --by S12"),
    ):
        log_app.command(name=name, epilog=f"Example:\n\n{example}")(grouped(command))
    log_deciding.add_to(log_app)
    log_sheets.add_to(log_app)
    log_reading.add_to(log_app)
    log_names.add_to(log_app)
    app.add_typer(log_app)


def add(
    operator: Annotated[str, typer.Option(help="Who exposed, by code.")],
    view: Annotated[
        str,
        typer.Option(help="View, or periapical or occlusal; may be left to --assessment."),
    ] = "",
    day: Annotated[str, typer.Option(help="Day of the exposure; today if left out.")] = "",
    case: Annotated[str, typer.Option(help="Pseudonym of the patient or case; no name.")] = "",
    supervisor: Annotated[str, typer.Option(help="Who supervised, by code.")] = "",
    level: Annotated[str, typer.Option(help="Level of training, such as 'third year'.")] = "",
    room: Annotated[str, typer.Option(help="Room or unit.")] = "",
    receptor: Annotated[str, typer.Option(help="Receptor.")] = "",
    holder: Annotated[str, typer.Option(help="Holder.")] = "",
    teeth: Annotated[str, typer.Option(help="Teeth wanted, ISO 3950: '14 15 16'.")] = "",
    reason: Annotated[str, typer.Option(help="Why the exposure was justified.")] = "",
    kind: Annotated[str, typer.Option(help="exposure, retake, extra-view or planned-stage.")] = "",
    retake_of: Annotated[
        str, typer.Option(help="Number or key of the exposure that this repeats; a retake then.")
    ] = "",
    changed: Annotated[str, typer.Option(help="What was changed for the retake.")] = "",
    succeeded: Annotated[str, typer.Option(help="Whether the retake succeeded: yes or no.")] = "",
    kv: Annotated[str, typer.Option(help="Tube voltage. [kV]")] = "",
    ma: Annotated[str, typer.Option(help="Tube current. [mA]")] = "",
    seconds: Annotated[str, typer.Option(help="Exposure time. [s]")] = "",
    rating: Annotated[str, typer.Option(help="Rating as scheme:grade, such as uk-2020:A.")] = "",
    faults: Annotated[
        str, typer.Option(help="Faults with size where measured: 'overlap:0.4|cone-cut'.")
    ] = "",
    decision: Annotated[
        str,
        typer.Option(
            help="accepted, accepted-with-a-remark, rejected or retaken; may come later with `log "
            "decide`."
        ),
    ] = "",
    decided_by: Annotated[
        str, typer.Option(help="Who decided, by code; the supervisor if left out.")
    ] = "",
    note: Annotated[str, typer.Option(help="Anything else; no name.")] = "",
    film: Annotated[Path | None, typer.Option(help="Film, kept beside the store.")] = None,
    looked_at: LookedAt = False,
    assessment: Annotated[
        Path | None,
        typer.Option(help="Answer of `bitewright assess --json`: gives view, rating and faults."),
    ] = None,
    more: Setting = None,
    by: Annotated[
        str | None, typer.Option(help="Who writes this; the operator if left out.")
    ] = None,
    *,
    kept: EntryOptions,
) -> None:
    """Record one exposure. Extra views and planned stages are not retakes: say so with --kind."""
    from bitewright.log.exposure_state import FieldsDisagreeError
    from bitewright.tasks.log.record_exposure import AddRequest, record_exposure
    from bitewright.tasks.log.store_place import today_text

    if retake_of and kind not in {"", "retake"}:
        raise FieldsDisagreeError("retake_of", f"belongs to a retake, and --kind says {kind}")
    fields = {
        "day": day or today_text(),
        "case": case,
        "operator": operator,
        "supervisor": supervisor,
        "level": level,
        "room": room,
        "receptor": receptor,
        "holder": holder,
        "view": view,
        "teeth": teeth,
        "reason": reason,
        "kind": "retake" if retake_of else kind,
        "retake_of": retake_of,
        "changed": changed,
        "succeeded": succeeded,
        "tube_voltage_kv": kv,
        "tube_current_ma": ma,
        "exposure_time_s": seconds,
        "rating": rating,
        "faults": faults,
        "decision": decision,
        "decided_by": decided_by,
        "note": note,
        **settings(more),
    }
    answer = record_exposure(
        AddRequest(
            fields=fields,
            key=kept.key,
            by=by,
            film=film,
            looked_at=looked_at,
            assessment=assessment,
            store=kept.store,
        )
    )
    _tell(answer, as_json=kept.as_json)


def correct(
    exposure: Exposure,
    by: By,
    why: Why,
    change: Setting = None,
    *,
    kept: EntryOptions,
) -> None:
    """Correct an exposure. What was written stays in its history; this comes after it."""
    from bitewright.tasks.log.record_exposure import ChangeRequest, correct_exposure

    request = ChangeRequest(
        exposure=exposure, by=by, why=why, fields=settings(change), key=kept.key, store=kept.store
    )
    _tell(correct_exposure(request), as_json=kept.as_json)


def decide_command(
    exposure: Exposure,
    decision: Annotated[
        str, typer.Argument(help="accepted, accepted-with-a-remark, rejected or retaken.")
    ],
    by: By,
    retaken_as: Annotated[
        str | None,
        typer.Option(help="Number or key of the exposure made in its place, where retaken."),
    ] = None,
    why: Annotated[str | None, typer.Option(help="Reason, in a line.")] = None,
    *,
    kept: EntryOptions,
) -> None:
    """Write down what a person decided on an image, and who. The tool decides nothing."""
    from bitewright.tasks.log.record_exposure import ChangeRequest, decide_exposure

    request = ChangeRequest(exposure=exposure, by=by, why=why, key=kept.key, store=kept.store)
    answer = decide_exposure(request, decision, by=by, retaken_as=retaken_as)
    _tell(answer, as_json=kept.as_json)


def link(
    exposure: Exposure,
    by: By,
    film: Annotated[Path | None, typer.Option(help="Film, kept beside the store.")] = None,
    looked_at: LookedAt = False,
    assessment: Annotated[
        Path | None,
        typer.Option(help="Answer of `bitewright assess --json`; gives rating and faults."),
    ] = None,
    *,
    kept: EntryOptions,
) -> None:
    """Add a film or an assessment to an exposure recorded before."""
    from bitewright.tasks.log.record_exposure import ChangeRequest, link_exposure

    request = ChangeRequest(
        exposure=exposure,
        by=by,
        film=film,
        looked_at=looked_at,
        assessment=assessment,
        key=kept.key,
        store=kept.store,
    )
    _tell(link_exposure(request), as_json=kept.as_json)


def _tell(answer: "Recorded", *, as_json: bool) -> None:
    from bitewright.cli.shown.log import show_recorded

    if as_json:
        print_json(answer.document())
    else:
        show_recorded(answer)


__all__ = ["add_to"]
