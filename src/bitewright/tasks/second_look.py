"""A second look at a film: where the trained network sees what a person marked."""

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import replace
from threading import Lock

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.errors import ExtraMissingError
from bitewright.marking.marks import Mounting
from bitewright.marking.picture_borders import PlaceSeen
from bitewright.mouth.numbering import Side
from bitewright.proposing.proposals import SURE, proposals
from bitewright.proposing.refusals import LIKELY, why_refused
from bitewright.tasks.assess.assess_film import pixel_size
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.propose.propose_marks import Known, film_read

KEPT = 32
"""Films of which what was seen is kept: marks change, the picture does not. Our choice."""


_kept: OrderedDict[tuple[object, ...], Mapping[str, PlaceSeen]] = OrderedDict()
_keeping = Lock()


def second_look(film: DecodedFilm, marked: TakenFilm) -> Mapping[str, PlaceSeen]:
    """Where the network surely sees each landmark, but cusps.

    None where what runs it is not installed, nor of a picture that it takes for no upright bitewing
    of that side.

    Parameters
    ----------
    film : DecodedFilm
    marked : TakenFilm
        Its marks tell which teeth are missing and how the film is mounted; none is looked at.

    Raises
    ------
    NoPixelSizeError
    UnknownToothError
    """
    marks = marked.marks
    pixel_mm, _ = pixel_size(film, marked)
    told = Known(absent_teeth=marks.absent_teeth, mirrored=marks.mounting is Mounting.MIRRORED)
    side = marked.view.region.side
    key = (film.sha256, pixel_mm, told.absent_teeth, told.mirrored, side)
    with _keeping:
        kept = _kept.get(key)
    if kept is not None:
        return kept
    sized = replace(film, image=replace(film.image, pixel_mm=pixel_mm))
    seen = _seen(sized, told, side)
    with _keeping:
        _kept[key] = seen
        while len(_kept) > KEPT:
            _kept.popitem(last=False)
    return seen


def _seen(film: DecodedFilm, told: Known, side: Side) -> Mapping[str, PlaceSeen]:
    try:
        of = film_read(film, packaged_catalogue(), told)
    except ExtraMissingError:
        return {}
    shown = Side.LEFT if (of.read.front_left > LIKELY) is not told.mirrored else Side.RIGHT
    if why_refused(of.square, of.read) is not None or shown is not side:
        return {}
    places = {}
    for each in proposals(of.read, is_right=side is Side.RIGHT):
        if each.presence < SURE or each.doubt is not None or each.code in told.absent_teeth:
            continue
        x_px, y_px = of.square.on_film_px(np.array(each.place_px))
        places[each.name] = PlaceSeen(
            x_mm=float(x_px) * of.pixel_mm, y_mm=float(y_px) * of.pixel_mm, sd_mm=each.sd_mm
        )
    return places


__all__ = ["second_look"]
