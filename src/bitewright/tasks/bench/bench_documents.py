"""What the bench tells a page: what stays, what moves with a hand, and the plan."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from bitewright import __version__
from bitewright.errors import BitewrightError
from bitewright.exposing.exposure import Exposures, fitting
from bitewright.planning.best_aim import Held
from bitewright.planning.ladder import Owned
from bitewright.planning.patient_limits import Patient
from bitewright.quality.findings import ContactFinding
from bitewright.quality.rating import ContactState, Outcome
from bitewright.steps import Begin, unwatched
from bitewright.tasks.bench.bench import Bench
from bitewright.tasks.bench.bench_drawing import moving_drawing, still_drawing, tube_drawing
from bitewright.tasks.bench.bench_settings import SETTINGS, hand_setting
from bitewright.tasks.documents import contact_document, finding_document, known_deg
from bitewright.tasks.plan.chair_card import CardSize, CardWish, cards_file, chair_card
from bitewright.tasks.plan.plan_ladder import plan_ladder
from bitewright.tasks.plan.plan_view import plan_view
from bitewright.tasks.plan.predict_exposure import ExposurePrediction
from bitewright.tasks.plan.set_exposure import HandSetting
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.bench import best_step, next_step
from bitewright.words.caution import CAUTION

BENCH_FORMAT = "bitewright.bench/1"
MOVING_FORMAT = "bitewright.bench-moving/1"
PLAN_FORMAT = "bitewright.bench-plan/1"
STATION_FORMAT = "bitewright.bench-station/1"
PLANNED = ("forward_mm", "lingual_mm", "turn_deg", "ring_offset_deg", "vertical_deg")


def still_document(bench: Bench) -> dict[str, Any]:
    """What stays while a hand moves: teeth, fans, what can be set."""
    at = bench.station
    return {
        "format": STATION_FORMAT,
        "version": __version__,
        "view": bench.view.name,
        "view_title": bench.view.title,
        "purpose": bench.view.purpose,
        "mouth": at.outlines.mouth.name,
        "caution": CAUTION,
        "receptor_kind": at.receptor.kind.value,
        "settings": [{"name": name, **asdict(setting)} for name, setting in SETTINGS.items()],
        "drawing": still_drawing(bench.exposure(HandSetting()).exposure),
        "film_mm": [round(2.0 * at.half_width_mm, 3), round(2.0 * at.half_height_mm, 3)],
    }


def moving_document(
    bench: Bench, setting: HandSetting, by: RatedBy | None = None
) -> dict[str, Any]:
    """Prediction and drawing of one exposure; ``does_not_fit`` says why it cannot be."""
    made = bench.predicted(setting, by)
    fans = bench.fans_of(bench.exposure(setting))
    drawing = moving_drawing(made.exposure, fans, bench.drawing_while_seated(setting))
    return {
        **made.document(),
        "format": BENCH_FORMAT,
        **_said(made, drawing["beam_in_fan"], is_best=bench.is_best(by or RatedBy(), setting)),
        "drawing": _with_open_fans_lit(drawing, made.contacts),
    }


class Followed:
    """What one page is told while its hand moves: all it shows, but what stays only once.

    Teeth, palate, floor and fans are told again when they changed. Ask from one thread at a time.
    """

    def __init__(self) -> None:
        self._stays: dict[str, object] = {}

    def document(
        self, bench: Bench, setting: HandSetting, by: RatedBy | None = None
    ) -> dict[str, Any]:
        """One exposure's words, figures and drawings, less what stayed since the one before."""
        made = bench.predicted(setting, by)
        fans = bench.fans_of(bench.exposure(setting))
        drawing = tube_drawing(made.exposure, fans)
        stays: dict[str, object] = {
            "seated": bench.drawing_while_seated(setting),
            "fans": bench.drawing_of_fans(setting),
        }
        # The bench keeps what it has drawn: the same thing is the same object.
        before, self._stays = self._stays, stays
        changed = {name: drawn for name, drawn in stays.items() if before.get(name) is not drawn}
        return {
            "format": MOVING_FORMAT,
            **_said(made, drawing["beam_in_fan"], is_best=bench.is_best(by or RatedBy(), setting)),
            "lingual_mm": round(float(made.placement.arrays()["lingual_mm"][0]), 3),
            "contact_error_deg": known_deg(made.contact_error_deg),
            "rating": {"grade": made.grade, "scheme_title": made.scheme.title},
            "criteria": [_only(finding_document(each), CRITERION_SHOWN) for each in made.findings],
            "contacts": [
                _only(contact_document(each), CONTACT_SHOWN) | {"beam": made.beam_words[each.name]}
                for each in made.contacts
            ],
            "drawing": _with_open_fans_lit(drawing, made.contacts),
            "stays": changed,
        }


CRITERION_SHOWN = ("outcome", "sentence", "source")
CONTACT_SHOWN = ("contact", "overlap_mm", "state")


def _only(document: Mapping[str, Any], names: Iterable[str]) -> dict[str, Any]:
    return {name: document[name] for name in names}


def _said(
    made: ExposurePrediction, in_fan: Mapping[str, bool], *, is_best: bool
) -> dict[str, str | None]:
    """Why the receptor cannot be there, if so, and what to do next."""
    refused = _why_not(made.exposure)
    return {
        "does_not_fit": refused,
        "next_step": next_step(
            made.contacts,
            made.contact_errors_deg,
            in_fan,
            refused=refused,
            cut_mm={place: -mm for place, mm in made.beam_cover_mm.items() if mm < 0.0},
            not_needed=made.not_needed,
            fitness=made.fitness,
        )
        if refused is not None or not is_best
        else best_step(made.contacts, made.not_needed, fitness=made.fitness, serves=_serves(made)),
    }


def _serves(made: ExposurePrediction) -> bool:
    return not any(each.outcome is Outcome.FAILED for each in made.findings)


def _with_open_fans_lit(
    drawing: dict[str, Any], contacts: Iterable[ContactFinding]
) -> dict[str, Any]:
    return drawing | {"beam_in_fan": drawing["beam_in_fan"] | _lit(contacts)}


def _lit(contacts: Iterable[ContactFinding]) -> dict[str, bool]:
    """Whether a fan is lit, of every contact whose overlap is projected: where it is open.

    A fan is worked out for a parallel beam; at its very edge the projected overlap decides.
    """
    projected = (ContactState.OPEN, ContactState.READABLE, ContactState.UNREADABLE)
    return {
        contact.name: contact.state is ContactState.OPEN
        for contact in contacts
        if contact.state in projected
    }


def plan_document(
    bench: Bench, by: RatedBy | None = None, *, begin: Begin = unwatched
) -> dict[str, Any]:
    """The plan of the bench's view: the best setting and the room left about it."""
    found = plan_view(
        bench.view,
        bench.station,
        held=Held(flush=bench.station.holder.ring),
        by=by or RatedBy(),
        begin=begin,
    )
    setting = found.plan.setting
    zero = dict.fromkeys(SETTINGS, 0.0)
    best = {name: round(float(getattr(setting, name)), 3) for name in PLANNED}
    settings = {**zero, **best}
    bench.found_best(by or RatedBy(), hand_setting(settings))
    return {**found.document(), "format": PLAN_FORMAT, "settings": settings}


def ladder_document(
    bench: Bench, owned: Owned, by: RatedBy, bears: Patient, *, begin: Begin = unwatched
) -> dict[str, Any]:
    """What to try in order for the bench's view, in a patient's mouth; errors as `plan_ladder`."""
    at = bench.station
    return plan_ladder(bench.view, at, owned, by=by, bears=bears, begin=begin).document()


def card_bytes(
    bench: Bench, owned: Owned, by: RatedBy, bears: Patient, *, begin: Begin = unwatched
) -> bytes:
    """The chair card of the bench's view as PDF; errors as `chair_card`."""
    wish = CardWish(owned=owned, by=by, bears=bears)
    card = chair_card(bench.view, bench.station, wish, begin=begin)
    return cards_file((card,), ".pdf", CardSize.HAND)


def _why_not(exposure: Exposures) -> str | None:
    """The sentence that says why a receptor cannot be there; None if it can."""
    try:
        fitting(exposure)
    except BitewrightError as error:
        return str(error)
    return None


__all__ = [
    "Followed",
    "card_bytes",
    "ladder_document",
    "moving_document",
    "plan_document",
    "still_document",
]
