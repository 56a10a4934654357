"""Options that several commands share, worded once."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bitewright.planning.patient_limits import PatientLimit
from bitewright.quality.criteria import Question
from bitewright.quality.questions import question_about
from bitewright.quality.rating_schemes import USUAL_SCHEME, rating_scheme
from bitewright.tasks.rated_by import RatedBy

if TYPE_CHECKING:
    from bitewright.estimation.mouth_belief import MouthBelief
    from bitewright.exposing.exposure import Station
    from bitewright.planning.patient_limits import Patient
    from bitewright.quality import views as quality

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
        help="Mouth: a description (TOML), or a name such as restored, population-7 or calm-7; "
        "else standard.",
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
        "--question", help="What the image is for; it decides what it must show and what is ideal."
    ),
]
Surfaces = Annotated[
    list[str] | None,
    typer.Option(
        "--surface",
        help="Surface that a question about a restoration or a surface is about, such as "
        "15.distal; several times.",
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
    CHECKLISTS = "checklists"


@dataclass(frozen=True, kw_only=True)
class StationOptions:
    """The mouth and the equipment of an exposure."""

    receptor: Receptor = "film-2"
    holder: Holder = "ring-holder"
    tube: Tube = "rectangular-300"
    mouth: MouthFile = None
    belief: BeliefFile = None
    equipment: EquipmentFiles = None

    def believed(self) -> "MouthBelief | None":
        """What films taught about the mouth; None if nothing is given."""
        from bitewright.tasks.catalogue.named import read_belief

        return None if self.belief is None else read_belief(self.belief)

    def station(self, of_view: "quality.View", belief: "MouthBelief | None") -> "Station":
        """Mouth and equipment brought to a view's region."""
        from bitewright.tasks.catalogue.named import (
            believed_or_given,
            named_equipment,
            station_for,
        )
        from bitewright.tasks.catalogue.named import equipment as known_equipment

        by = named_equipment(
            known_equipment(self.equipment or ()),
            receptor=self.receptor,
            holder=self.holder,
            tube=self.tube,
        )
        return station_for(of_view, believed_or_given(self.mouth, belief, of_view), by)


@dataclass(frozen=True, kw_only=True)
class PatientOptions:
    """A patient's limits, and what the room has to take a film with."""

    limit: Annotated[
        list[PatientLimit] | None,
        typer.Option(
            "--limit",
            help="A limit of this patient; several times. Turns --ladder on.",
        ),
    ] = None
    opens: Annotated[
        float | None,
        typer.Option("--opens", help="How far this patient's front teeth part. [mm]"),
    ] = None
    own: Annotated[
        list[str] | None,
        typer.Option(
            "--own", help="A receptor or holder that the room has; several times; else all known."
        ),
    ] = None

    @property
    def has_limits(self) -> bool:
        """Whether any limit is given."""
        return bool(self.limit) or self.opens is not None

    def bears(self) -> "Patient":
        """The patient's limits."""
        from bitewright.planning.patient_limits import patient

        return patient(self.limit or (), self.opens)


class CardPaper(StrEnum):
    """A card to hold (A5, four on A4) or one for the wall (A4, four on A3)."""

    HAND = "hand"
    WALL = "wall"


@dataclass(frozen=True, kw_only=True)
class CardOptions:
    """A card to set up from at the chair."""

    card: Annotated[
        Path | None,
        typer.Option("--card", help="Write a card to set up from, as this file (.pdf or .html)."),
    ] = None
    every_view: Annotated[
        bool,
        typer.Option("--all", help="With --card: both views of both sides on one page."),
    ] = False
    card_size: Annotated[
        CardPaper,
        typer.Option(help="With --card: to hold (A5, four on A4) or for the wall (A4, A3)."),
    ] = CardPaper.HAND


@dataclass(frozen=True, kw_only=True)
class RatingOptions:
    """By what films are rated."""

    question: Ask = Question.ENAMEL
    surface: Surfaces = None
    scheme: Scheme = USUAL_SCHEME

    def rated_by(self) -> RatedBy:
        """Question and scheme."""
        asked = question_about(self.question, self.surface or ())
        return RatedBy(question=asked, scheme=rating_scheme(self.scheme))


__all__ = [
    "AsJson",
    "Ask",
    "BeliefFile",
    "CardOptions",
    "CardPaper",
    "EquipmentFiles",
    "Listing",
    "MouthFile",
    "PatientOptions",
    "RatingOptions",
    "StationOptions",
    "Tube",
    "View",
]
