"""`bitewright recall`: an earlier and a later film, and what their angulation alone does."""

from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli import options
from bitewright.cli.options import CardPaper
from bitewright.cli.screen import console, print_json

EXAMPLE = "bitewright recall 2025.marks.json 2026.marks.json --picture both.png --card repeat.pdf"


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="recall", epilog=f"Example:\n\n{EXAMPLE}")(recall_command)


def recall_command(
    *,
    earlier: Annotated[Path, typer.Argument(help="Marks file of the earlier film.")],
    later: Annotated[Path, typer.Argument(help="Marks file of the later film, of the same side.")],
    holder: options.Holder = "ring-holder",
    tube: options.Tube = "rectangular-300",
    equipment: options.EquipmentFiles = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            help="Draw both films side by side at one scale here (.png or .svg); their images lie "
            "beside the marks."
        ),
    ] = None,
    card: Annotated[
        Path | None,
        typer.Option(
            help="Write a card that repeats the earlier geometry, as this file (.pdf or .html)."
        ),
    ] = None,
    card_size: Annotated[
        CardPaper, typer.Option(help="With --card: to hold (A5) or for the wall (A4).")
    ] = CardPaper.HAND,
    as_json: options.AsJson = False,
) -> None:
    """Set an earlier and a later film side by side: what angulation alone does to the crest.

    Never whether disease has changed: that is judged by a practitioner.
    """
    from bitewright.cli.progress import told_on
    from bitewright.cli.shown.recall import show
    from bitewright.tasks.assess.drawing_files import check_drawing_path
    from bitewright.tasks.catalogue.named import equipment as known_equipment
    from bitewright.tasks.plan.chair_card import CardSize, check_card_file, write_cards
    from bitewright.tasks.visit.compare_recall import compare_recall, read_recall_film
    from bitewright.tasks.visit.recall_files import (
        image_beside,
        repeat_card,
        write_recall_picture,
    )

    if card is not None:
        check_card_file(card)
    if picture is not None:
        check_drawing_path(picture)
    known = known_equipment(equipment or ())
    films = (read_recall_film(earlier, known), read_recall_film(later, known))
    images = None
    if picture is not None:
        images = (image_beside(earlier, films[0]), image_beside(later, films[1]))
    with told_on("Films") as (begin, _):
        answer = compare_recall(
            *films, holder=known.holder(holder), tube=known.tube(tube), begin=begin
        )
    if picture is not None and images is not None:
        write_recall_picture(picture, answer, images)
    if card is not None:
        write_cards((repeat_card(answer),), card, CardSize(card_size))
    if as_json:
        written = {"picture": picture, "card": card}
        print_json(answer.document() | {name: each and str(each) for name, each in written.items()})
    else:
        show(console(), answer, picture=picture, card=card)


__all__ = ["add_to", "recall_command"]
