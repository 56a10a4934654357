"""Options that several commands share, worded once."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from bitewright.quality.criteria import Question
from bitewright.tasks.catalogue.resources import StationRequest

View = Annotated[
    str,
    typer.Option(
        help="View: right or left, premolar or molar, with -vertical for an upright receptor, "
        "such as right-premolar."
    ),
]
Receptor = Annotated[str, typer.Option(help="Receptor by name; see `bitewright list receptors`.")]
Holder = Annotated[str, typer.Option(help="Holder or tab by name; see `bitewright list holders`.")]
Tube = Annotated[str, typer.Option(help="Tube by name; see `bitewright list tubes`.")]
MouthFile = Annotated[
    Path | None,
    typer.Option(
        "--mouth",
        help="Mouth: a description (TOML), or a name such as restored or drawn-7; else standard.",
    ),
]
BeliefFile = Annotated[
    Path | None,
    typer.Option("--belief", help="What earlier films taught about this mouth (JSON)."),
]
EquipmentFiles = Annotated[
    list[Path] | None,
    typer.Option("--equipment", help="Your own equipment (TOML); may be given several times."),
]
Ask = Annotated[
    Question,
    typer.Option(
        "--question", help="What the image is for; it decides what overlap is unreadable."
    ),
]
Scheme = Annotated[str, typer.Option(help="Rating scheme; see `bitewright list schemes`.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for machines instead of tables.")]


class Listing(StrEnum):
    """What `bitewright list` can list."""

    VIEWS = "views"
    CRITERIA = "criteria"
    RECEPTORS = "receptors"
    HOLDERS = "holders"
    TUBES = "tubes"
    SCHEMES = "schemes"


def asked_station(
    receptor: str, holder: str, tube: str, mouth: Path | None, equipment: list[Path] | None
) -> StationRequest:
    """Mouth and equipment as the options name them."""
    return StationRequest(
        receptor=receptor,
        holder=holder,
        tube=tube,
        mouth_file=mouth,
        equipment_files=tuple(equipment or ()),
    )


__all__ = [
    "AsJson",
    "Ask",
    "BeliefFile",
    "EquipmentFiles",
    "Holder",
    "Listing",
    "MouthFile",
    "Receptor",
    "Scheme",
    "Tube",
    "View",
    "asked_station",
]
