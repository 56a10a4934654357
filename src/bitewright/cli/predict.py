"""`bitewright predict`: what one exposure will show."""

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bitewright.cli import options
from bitewright.cli.option_groups import grouped
from bitewright.cli.options import RatingOptions, StationOptions
from bitewright.cli.progress import told_on
from bitewright.cli.screen import print_json

if TYPE_CHECKING:
    from bitewright.film.film_kinds import Handling
    from bitewright.tasks.plan.wanted_setting import WantedSetting

EXAMPLE = (
    "bitewright predict --view right-premolar --receptor sensor-2 --planned "
    "--swing-forward 8 --film film.png"
)


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="predict", epilog=f"Example:\n\n{EXAMPLE}")(grouped(predict_command))


@dataclass(frozen=True, kw_only=True)
class SettingOptions:
    """How receptor and tube are set."""

    planned: Annotated[
        bool,
        typer.Option(
            "--planned",
            help="Start from the best placement and aim, which may leave a ring (`plan` keeps it "
            "flush); what you give changes it.",
        ),
    ] = False
    forward_mm: Annotated[
        float | None,
        typer.Option(
            "--forward", help="Receptor's middle in front of the view's usual middle. [mm]"
        ),
    ] = None
    lingual_mm: Annotated[
        float | None,
        typer.Option(
            "--lingual", help="Space from teeth to receptor; as near as it fits if left out. [mm]"
        ),
    ] = None
    height_mm: Annotated[
        float, typer.Option("--height", help="Receptor raised above the bite block's middle. [mm]")
    ] = 0.0
    turn_deg: Annotated[
        float | None,
        typer.Option(
            "--turn", help="Receptor turned, front end towards the opposite canine. [deg]"
        ),
    ] = None
    tilt_deg: Annotated[
        float,
        typer.Option("--tilt", help="Receptor's upper edge leaning to palate or tongue. [deg]"),
    ] = 0.0
    roll_deg: Annotated[
        float, typer.Option("--roll", help="Receptor's front edge dipping. [deg]")
    ] = 0.0
    ring_offset_deg: Annotated[
        float | None,
        typer.Option(
            "--ring-offset", help="Tube from the receptor's normal towards the front. [deg]"
        ),
    ] = None
    contact_error_deg: Annotated[
        float | None,
        typer.Option(
            "--contact-error",
            help="Tube from the direction in which the view's contacts are open, towards the "
            "front. [deg]",
        ),
    ] = None
    swing_forward_deg: Annotated[
        float,
        typer.Option(
            "--swing-forward", help="Swing the tube on from there towards the front. [deg]"
        ),
    ] = 0.0
    vertical_deg: Annotated[
        float | None,
        typer.Option("--vertical", help="Tube above the occlusal plane, pointing down. [deg]"),
    ] = None
    tube_forward_mm: Annotated[
        float, typer.Option("--tube-forward", help="Whole tube slid towards the front. [mm]")
    ] = 0.0
    tube_up_mm: Annotated[float, typer.Option("--tube-up", help="Whole tube slid up. [mm]")] = 0.0

    def wanted(self) -> "WantedSetting":
        """The same as the task takes it."""
        from bitewright.tasks.plan.wanted_setting import WantedSetting

        return WantedSetting(**asdict(self))


@dataclass(frozen=True, kw_only=True)
class FilmOptions:
    """The film of the exposure, and what is done with it."""

    film: Annotated[
        Path | None,
        typer.Option(help="Write the predicted film here (.png, .tiff or .dcm, 16 bits)."),
    ] = None
    marks: Annotated[
        Path | None,
        typer.Option(
            help="Write where that film's landmarks truly are here, as a marks file (.json)."
        ),
    ] = None
    film_pixel: Annotated[
        float | None,
        typer.Option(
            min=0.01, max=1.0, help="Pixel size of that film; the receptor's if left out. [mm]"
        ),
    ] = None
    seed: Annotated[int, typer.Option(min=0, help="Seed of the film's noise.")] = 1
    mas: Annotated[
        float | None,
        typer.Option(help="Tube current times time; what is right for the receptor if left out."),
    ] = None
    look: Annotated[
        str, typer.Option(help="Display of the film: plain, crisp, contrasty or soft.")
    ] = "plain"
    fault: Annotated[
        list[str] | None,
        typer.Option(
            help="Fault of receptor or handling, such as bent, reversed, movement=2; several times."
        ),
    ] = None
    for_processing: Annotated[
        bool,
        typer.Option(
            "--for-processing", help="Write the receptor's signal, linear in exposure, undisplayed."
        ),
    ] = False

    def handling(self) -> "Handling":
        """How the film is exposed, displayed and handled."""
        from bitewright.film.film_faults import fault_from_text
        from bitewright.film.film_kinds import Handling

        return Handling(
            mas=self.mas,
            look=self.look,
            faults=tuple(fault_from_text(text) for text in self.fault or ()),
            for_processing=self.for_processing,
        )


def predict_command(
    *,
    view: options.View,
    station: StationOptions,
    setting: SettingOptions,
    rating: RatingOptions,
    film: FilmOptions,
    as_json: options.AsJson = False,
) -> None:
    """Predict one exposure: contacts, structures shown or cut off, crest, closure, film."""
    from bitewright.cli.shown.predict import show
    from bitewright.film.film_faults import clear_edge
    from bitewright.quality.views import view as named_view
    from bitewright.tasks.film.film_files import write_film
    from bitewright.tasks.film.film_marks import check_film_marks, write_film_marks
    from bitewright.tasks.plan.predict_exposure import predict_exposure

    of_view, handling = named_view(view), film.handling()
    if film.marks is not None:
        check_film_marks(film.film, film.marks, handling)
    at = station.station(of_view, station.believed())
    cut = clear_edge(handling.faults, at)
    answer = predict_exposure(of_view, at, setting.wanted(), by=rating.rated_by(), cut=cut)
    if film.film is not None:
        with told_on("Building the mouth, once") as (begin, expect):
            write_film(
                film.film,
                answer.exposure,
                of_view=of_view,
                pixel_mm=film.film_pixel,
                seed=film.seed,
                handling=handling,
                begin=begin,
                expect=expect,
            )
        if film.marks is not None:
            write_film_marks(film.marks, answer, film.film, cut=cut)
    if as_json:
        print_json(answer.document(film=film.film))
    else:
        show(answer, film=film.film, marks=film.marks)


__all__ = ["add_to", "predict_command"]
