"""Where a view's marks usually lie on a film of the standard mouth, to light the next place."""

from functools import lru_cache
from typing import Any

from bitewright import __version__
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose, station
from bitewright.exposing.placement import Placement
from bitewright.marking.visible_places import seen_off_mm
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.tasks.assess.usual_equipment import USUAL_TUBE
from bitewright.tasks.made_once import MadeOnce

USUAL_MARKS_FORMAT = "bitewright.usual-marks/1"
RECEPTOR, HOLDER = "plate-2", "ring-holder"
USUAL_PLACE = Placement(lingual_mm=3.0)
USUAL_AIM = Aim(vertical_deg=5.0)
"""Our choice: near what a plan asks for; the marks that are placed soon tell more."""


def usual_marks(view_name: str) -> dict[str, Any]:
    """Usual places, from the receptor's middle, of all marks on the teeth of a view's side. [mm]

    Raises
    ------
    UnknownViewError
    """
    of = view(view_name)
    places = _PLACES.of(view_name, lambda: _places(view_name))
    return {
        "format": USUAL_MARKS_FORMAT,
        "version": __version__,
        "view": of.name,
        **places,
    }


def _places(view_name: str) -> dict[str, Any]:
    of, known = view(view_name), packaged_catalogue()
    at = station(
        _standard_outlines(),
        of.region,
        known.receptor(RECEPTOR),
        known.holder(HOLDER),
        known.tube(USUAL_TUBE),
    )
    seen = predict(expose(at, USUAL_PLACE, USUAL_AIM), asked(of, at, every_contact=True)).landmarks
    shown = seen.points_receptor[0] + seen_off_mm(seen.names, seen.front_sign)
    points = dict(zip(seen.names, shown.round(2).tolist(), strict=True))
    return {
        "width_mm": 2.0 * at.half_width_mm,
        "height_mm": 2.0 * at.half_height_mm,
        "places_mm": points,
    }


@lru_cache(maxsize=1)
def _standard_outlines() -> Outlines:
    return build_outlines(standard_mouth())


_PLACES: MadeOnce[str, dict[str, Any]] = MadeOnce(16)

__all__ = ["USUAL_MARKS_FORMAT", "usual_marks"]
