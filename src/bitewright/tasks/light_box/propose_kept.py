"""Propose marks for a film on the light box: told to its page, and kept by nobody but a person."""

from collections.abc import Sequence
from dataclasses import replace
from importlib.util import find_spec
from typing import Any

from bitewright.marking.marks import Mounting
from bitewright.mouth.numbering import parse_tooth
from bitewright.quality.views import view, view_names
from bitewright.steps import Begin, unwatched
from bitewright.store.light_box import KeptFilm
from bitewright.tasks.assess.assess_film import NoPixelSizeError, pixel_size
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.taken_film import taken_film
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.kept_marks import PixelSizeNotToldError, stated_marks
from bitewright.tasks.propose.propose_marks import Known, propose_marks
from bitewright.words.proposals import other_view_words

RUNTIME = "onnxruntime"


def may_propose() -> bool:
    """Whether what runs the network is installed."""
    return find_spec(RUNTIME) is not None


def propose_kept(
    film: DecodedFilm,
    kept: KeptFilm,
    *,
    view_too: bool = False,
    missing: Sequence[int] = (),
    begin: Begin = unwatched,
) -> dict[str, Any]:
    """Marks proposed for a film by what its page says of it; those that are kept stay as they are.

    What is doubtful about the whole film is a doubt of each of its marks. The view stays the one
    that a person chose, and a sentence says where the teeth look like another's. ``view_too``: a
    film of which nobody chose a view gets the one that its teeth look like. ``missing``: ISO 3950
    codes of teeth that are missing besides those kept as absent.

    Raises
    ------
    NoViewError, PixelSizeNotToldError, UnknownToothError
    ExtraMissingError
        If what runs the network is not installed.
    """
    for code in missing:
        parse_tooth(code)
    known, chosen = equipment(), None
    if kept.marks.get("view") or not view_too:
        stated = stated_marks(kept)
        chosen = view(stated.view)
    else:  # which view is put in its place makes no difference to what is asked of it here
        stated = stated_marks(replace(kept, marks={**kept.marks, "view": view_names()[0]}))
    try:
        pixel_mm, _ = pixel_size(film, taken_film(stated, known))
    except NoPixelSizeError as error:
        raise PixelSizeNotToldError(kept) from error
    told = Known(
        receptor=stated.receptor,
        side=None if chosen is None else chosen.region.side,
        mirrored=stated.mounting is Mounting.MIRRORED,
        absent_teeth=tuple(sorted({*stated.absent_teeth, *missing})),
    )
    sized = replace(film, image=replace(film.image, pixel_mm=pixel_mm))
    begin("the proposed marks")
    made = propose_marks(sized, known, told)
    if made.marks is None:
        return made.document()
    document = made.document()
    first = document["marks"]["proposed"]
    if made.doubts:  # what is said of the whole film is told again whenever it is opened
        first["film_doubts"] = document["doubts"]
    likely = view(made.marks.view)
    if chosen is None:
        return document
    if likely.name != chosen.name:
        first["likely_view"] = likely.name
        document["sentences"].append(other_view_words(likely.title, chosen.title))
    document["marks"]["view"] = chosen.name
    return document


__all__ = ["may_propose", "propose_kept"]
