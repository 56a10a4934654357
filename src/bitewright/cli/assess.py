"""`bitewright assess`: measure and rate a real film from marks."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.option_groups import grouped
from bitewright.cli.options import RatingOptions
from bitewright.cli.screen import console, print_json

EXAMPLE = "bitewright assess film.png --marks film.marks.json --holder ring-holder --overlay o.png"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="assess", epilog=f"Example:\n\n{EXAMPLE}")(grouped(assess_command))


def assess_command(
    *,
    image: Annotated[Path, typer.Argument(help="Film: PNG, TIFF, JPEG or DICOM, 8 or 16 bits.")],
    marks: Annotated[Path, typer.Option(help="Marks placed by a person (JSON).")],
    receptor: Annotated[
        str | None,
        typer.Option(help="Receptor by name; gives the pixel size where the file does not."),
    ] = None,
    holder: Annotated[
        str | None, typer.Option(help="Holder by name; its bite block makes closure known.")
    ] = None,
    equipment: options.EquipmentFiles = None,
    rating: RatingOptions,
    overlay: Annotated[
        Path | None, typer.Option(help="Write a picture of film, marks and findings here (.png).")
    ] = None,
    tube: options.Tube = "rectangular-300",
    mouth: Annotated[
        Path | None,
        typer.Option(help="Mouth that is known, such as a manikin's or a scanned one (TOML)."),
    ] = None,
    belief: options.BeliefFile = None,
    save_belief: Annotated[
        Path | None, typer.Option(help="Write what is believed of the mouth now (.json).")
    ] = None,
    also: Annotated[
        list[Path] | None,
        typer.Option(help="Marks of another film of this visit; may be given several times."),
    ] = None,
    rim_flush: Annotated[
        bool | None,
        typer.Option(
            "--rim-flush/--rim-off",
            help="Whether the tube's rim stood flush with the holder's ring, if somebody looked.",
            show_default=False,
        ),
    ] = None,
    answer: Annotated[
        list[str] | None,
        typer.Option(
            help="Answer to a question that was asked: its name, = and yes or no. May be given "
            "several times.",
        ),
    ] = None,
    drawing: Annotated[
        Path | None,
        typer.Option(help="Draw the exposure as estimated and the next one here (.png or .svg)."),
    ] = None,
    confirmed: Annotated[
        bool,
        typer.Option("--confirmed", help="You have looked at every mark that was only proposed."),
    ] = False,
    no_explain: Annotated[
        bool, typer.Option("--no-explain", help="Measure and rate only.")
    ] = False,
    as_json: options.AsJson = False,
) -> None:
    """Measure and rate a film from its marks, explain it, and say what to do next time."""
    from bitewright.cli.shown.assess import show
    from bitewright.tasks.assess.assess_film import assess_film
    from bitewright.tasks.assess.assessment_files import AssessmentFiles, write_assessment
    from bitewright.tasks.assess.chairside_answers import AnswersNotWeighedError, chairside_answers
    from bitewright.tasks.assess.decoded_film import read_film
    from bitewright.tasks.assess.explain_film import (
        BesideTheMarks,
        KnownAndLearnedError,
        explain_film,
    )
    from bitewright.tasks.assess.identity_signs import identity_signs
    from bitewright.tasks.assess.taken_film import read_taken_film
    from bitewright.tasks.catalogue.named import equipment as known_equipment
    from bitewright.tasks.catalogue.named import mouth_from, read_belief
    from bitewright.tasks.second_look import second_look
    from bitewright.words.identities import warning

    if mouth is not None and (belief or save_belief):
        raise KnownAndLearnedError
    answers = chairside_answers(answer or ())
    if no_explain and (answer or rim_flush is not None):
        raise AnswersNotWeighedError(answer or (), rim_flush=rim_flush)
    files = AssessmentFiles(overlay=overlay, drawing=drawing, belief=save_belief)
    film = read_film(image)
    signs = identity_signs(film)
    if signs:
        console(to_errors=True).print(f"{warning(film.name, signs)}.", markup=False)
    known = known_equipment(equipment or ())
    taken = read_taken_film(marks, known, receptor=receptor, confirmed=confirmed)
    assessed = assess_film(
        film,
        taken,
        holder=known.holder(holder) if holder else None,
        by=rating.rated_by(),
        places={} if no_explain else second_look(film, taken),
    )
    if not no_explain:
        beside = BesideTheMarks(
            known=known,
            tube=known.tube(tube),
            mouth=None if mouth is None else mouth_from(mouth),
            belief=None if belief is None else read_belief(belief),
            also=tuple(read_taken_film(each, known, confirmed=confirmed) for each in also or ()),
            rim_flush=rim_flush,
            answers=answers,
        )
        assessed = explain_film(assessed, beside)
    written = write_assessment(assessed, film, files)
    if as_json:
        print_json(assessed.document(overlay=written.overlay))
    else:
        show(assessed, written)


__all__ = ["add_to", "assess_command"]
