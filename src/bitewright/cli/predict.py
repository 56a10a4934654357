"""`bitewright predict`: what one exposure will show."""

from pathlib import Path
from typing import Annotated, Any

import typer
from rich.table import Table

from bitewright.cli import options
from bitewright.cli.progress import told_on
from bitewright.cli.tables import (
    caution,
    console,
    contacts_table,
    edges_table,
    findings_table,
    print_json,
)
from bitewright.quality.criteria import Question
from bitewright.tasks.plan.predict_exposure import (
    ExposurePrediction,
    ExposureRequest,
    predict_exposure,
)
from bitewright.words.landmarks import landmark_title
from bitewright.words.predictions import setting_rows, shown_words
from bitewright.words.ratings import exposure_rating
from bitewright.words.written import film_written

EXAMPLE = (
    "bitewright predict --view right-premolar --receptor sensor-2 --planned "
    "--swing-forward 8 --film film.png"
)


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="predict", epilog=f"Example:\n\n{EXAMPLE}")(predict_command)


def predict_command(
    view: options.View,
    receptor: options.Receptor = "film-2",
    holder: options.Holder = "ring-holder",
    tube: options.Tube = "rectangular-300",
    mouth: options.MouthFile = None,
    equipment: options.EquipmentFiles = None,
    planned: Annotated[
        bool,
        typer.Option(
            "--planned", help="Start from the best placement and aim; what you give changes it."
        ),
    ] = False,
    forward: Annotated[
        float | None,
        typer.Option(help="Receptor's middle in front of the view's usual middle. [mm]"),
    ] = None,
    lingual: Annotated[
        float | None,
        typer.Option(help="Space from teeth to receptor; as near as it fits if left out. [mm]"),
    ] = None,
    height: Annotated[
        float, typer.Option(help="Receptor raised above the bite block's middle. [mm]")
    ] = 0.0,
    turn: Annotated[
        float | None,
        typer.Option(help="Receptor turned, front end towards the opposite canine. [deg]"),
    ] = None,
    tilt: Annotated[
        float, typer.Option(help="Receptor's upper edge leaning to palate or tongue. [deg]")
    ] = 0.0,
    roll: Annotated[float, typer.Option(help="Receptor's front edge dipping. [deg]")] = 0.0,
    ring_offset: Annotated[
        float | None,
        typer.Option(help="Tube from the receptor's normal towards the front. [deg]"),
    ] = None,
    contact_error: Annotated[
        float | None,
        typer.Option(
            help="Tube from the direction in which the view's contacts are open, towards the "
            "front. [deg]"
        ),
    ] = None,
    swing_forward: Annotated[
        float, typer.Option(help="Swing the tube on from there towards the front. [deg]")
    ] = 0.0,
    vertical: Annotated[
        float | None, typer.Option(help="Tube above the occlusal plane, pointing down. [deg]")
    ] = None,
    tube_forward: Annotated[
        float, typer.Option(help="Whole tube slid towards the front. [mm]")
    ] = 0.0,
    tube_up: Annotated[float, typer.Option(help="Whole tube slid up. [mm]")] = 0.0,
    question: options.Ask = Question.ENAMEL,
    scheme: options.Scheme = "uk-2020",
    film: Annotated[
        Path | None,
        typer.Option(help="Write the predicted film here (.png, .tiff or .dcm, 16 bits)."),
    ] = None,
    film_pixel: Annotated[
        float | None, typer.Option(help="Pixel size of that film; the receptor's if left out. [mm]")
    ] = None,
    seed: Annotated[int, typer.Option(help="Seed of the film's noise.")] = 1,
    mas: Annotated[
        float | None,
        typer.Option(help="Tube current times time; what is right for the receptor if left out."),
    ] = None,
    look: Annotated[
        str, typer.Option(help="Display of the film: plain, crisp, contrasty or soft.")
    ] = "plain",
    fault: Annotated[
        list[str] | None,
        typer.Option(
            help="Fault of receptor or handling, such as bent, reversed, movement=2; several times."
        ),
    ] = None,
    for_processing: Annotated[
        bool,
        typer.Option(
            "--for-processing", help="Write the receptor's signal, linear in exposure, undisplayed."
        ),
    ] = False,
    as_json: options.AsJson = False,
) -> None:
    """Predict one exposure: contacts, structures shown or cut off, crest, closure, film."""
    request = ExposureRequest(
        view=view,
        station=options.asked_station(receptor, holder, tube, mouth, equipment),
        planned=planned,
        forward_mm=forward,
        lingual_mm=lingual,
        height_mm=height,
        turn_deg=turn,
        tilt_deg=tilt,
        roll_deg=roll,
        ring_offset_deg=ring_offset,
        contact_error_deg=contact_error,
        swing_forward_deg=swing_forward,
        vertical_deg=vertical,
        tube_forward_mm=tube_forward,
        tube_up_mm=tube_up,
        question=question,
        scheme=scheme,
        film=film,
        film_pixel_mm=film_pixel,
        seed=seed,
        mas=mas,
        look=look,
        faults=tuple(fault or ()),
        for_processing=for_processing,
    )
    with told_on("Building the mouth, once") as (begin, expect):
        answer = predict_exposure(request, begin=begin, expect=expect)
    if as_json:
        print_json(answer.document())
    else:
        show(answer)


def show(answer: ExposurePrediction) -> None:
    """Print a prediction for people."""
    out = console()
    at = answer.station
    out.print(
        f"[bold]{answer.view.title}[/bold], {at.receptor.title}, {at.holder.title}, "
        f"{at.tube.title}, {at.outlines.mouth.name}"
    )
    said = exposure_rating(answer.view.purpose, answer.grade, answer.scheme.in_full)
    out.print(f"{said}\n")
    out.print(_setting_table(answer))
    out.print()
    out.print(edges_table(answer.edges))
    out.print()
    off = {name: f"{error:+.1f} deg" for name, error in answer.contact_errors_deg.items()}
    out.print(contacts_table(answer.contacts, {"beam off by": off}))
    out.print()
    out.print(findings_table(answer.findings))
    out.print()
    _print_structures(answer)
    if answer.film is not None:
        out.print(film_written(answer.film))
    out.print(caution())


def _setting_table(answer: ExposurePrediction) -> Table:
    table = Table(title="Placement and aim", title_justify="left", box=None, pad_edge=False)
    table.add_column("what")
    table.add_column("how much")
    rows = setting_rows(
        answer.placement,
        answer.aim,
        answer.exposure.seat,
        contact_error_deg=answer.contact_error_deg,
    )
    for row in rows:
        table.add_row(*row)
    return table


def _print_structures(answer: ExposurePrediction) -> None:
    """Name what the view wants and does not show; count the rest."""
    wanted = answer.prediction.measurements.wanted
    own = {
        f"{code}.{side}" for pair in wanted.contacts for code, side in zip(pair, SIDES, strict=True)
    }
    own |= {*wanted.crests, *wanted.front_surfaces, *wanted.last_surfaces}
    rows = answer.document()["structures"]
    missing = [
        f"{landmark_title(r['name'])} ({r['status']})"
        for r in rows
        if r["name"] in own and not _is_shown(r)
    ]
    shown = sum(_is_shown(row) for row in rows)
    console().print(shown_words(missing, shown=shown, of=len(rows)), style="dim")


SIDES = ("distal", "mesial")


def _is_shown(row: dict[str, Any]) -> bool:
    return bool(row["status"] == "shown")


__all__ = ["add_to", "predict_command"]
