"""Two films of the light box at recall: an earlier and a later one of the same teeth."""

from dataclasses import dataclass
from typing import Any

from bitewright.equipment.catalogue import Catalogue
from bitewright.marking.marks import Mounting
from bitewright.quality.views import view, view_names
from bitewright.report.card_page import CardSize
from bitewright.steps import Begin
from bitewright.store.light_box import KeptFilm, LightBoxStore
from bitewright.tasks.catalogue.named import named_equipment
from bitewright.tasks.light_box.kept_marks import marks_of_further, usable_marks
from bitewright.tasks.made_once import MadeOnce
from bitewright.tasks.plan.chair_card import cards_file
from bitewright.tasks.visit.compare_recall import (
    NotOneMouthError,
    RecallAnswer,
    RecallFilm,
    compare_recall,
    recall_film,
)
from bitewright.tasks.visit.recall_files import front_is_right, pixel_mm_of, repeat_card
from bitewright.words.landmarks import landmark_title
from bitewright.words.phrases import capital
from bitewright.words.recalls import film_title

USUAL_RECEPTOR, USUAL_HOLDER, USUAL_TUBE = "sensor-2", "ring-holder", "rectangular-300"
MOST_KEPT = 8
CREST = ".crest"


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmOffered:
    """A film of the light box that may be one of two: its number and what it is called."""

    number: int
    title: str


_made = MadeOnce[tuple[object, ...], RecallAnswer](MOST_KEPT)


def films_offered(store: LightBoxStore) -> tuple[FilmOffered, ...]:
    """Films with a view and marks, earlier ones first as far as their day is known."""
    offered = []
    for film in store.films():
        marks, _ = usable_marks(film)
        if marks.get("view") not in view_names() or not marks.get("marks"):
            continue
        day = str(marks.get("taken_on", ""))
        about = [film.label, view(marks["view"]).title, *([day] if day else [film.visit])]
        offered.append((day, FilmOffered(number=film.id, title=", ".join(about))))
    return tuple(film for _, film in sorted(offered, key=lambda each: (each[0], each[1].number)))


def kept_recall(
    store: LightBoxStore, earlier: int, later: int, known: Catalogue, begin: Begin
) -> RecallAnswer:
    """What is told of two films of the light box, made once for the marks that they have.

    Raises
    ------
    NoSuchFilmError
    BitewrightError
        As `recall_film` and `compare_recall`.
    """
    kept = [store.film(number) for number in (earlier, later)]
    if earlier == later:
        raise NotOneMouthError(
            kept[0].label,
            kept[1].label,
            "they are the same film",
            "choose an earlier and a later one",
        )
    films = (_film(kept[0], known), _film(kept[1], known))
    by = named_equipment(known, receptor=USUAL_RECEPTOR, holder=USUAL_HOLDER, tube=USUAL_TUBE)
    key = (store, *((each.id, each.marks_version) for each in kept))
    return _made.of(
        key, lambda: compare_recall(*films, holder=by.holder, tube=by.tube, begin=begin)
    )


def kept_repeat_card(answer: RecallAnswer) -> bytes:
    """The card that repeats the earlier film's geometry, as PDF."""
    return cards_file((repeat_card(answer),), ".pdf", CardSize.HAND)


def films_side_by_side(answer: RecallAnswer, earlier: int, later: int) -> dict[str, Any]:
    """Both films as a page lays them beside each other.

    Their numbers, titles and pixel sizes [mm]; each site's junction and crest on both, and to which
    side of them its tooth lies; and the places of what is marked on both and no crest, by which one
    film lies like the other. [pixels]
    """
    marks = [_places(each) for each in answer.films]
    common = [name for name in marks[0] if name in marks[1] and not name.endswith(CREST)]
    return {
        "films": [
            {
                "id": number,
                "title": title_of(of, is_later=place == 1),
                "pixel_mm": pixel_mm_of(of),
                "common": [marks[place][name] for name in common],
                "sites": [
                    {
                        "name": site.name,
                        "title": landmark_title(site.name),
                        "junction": marks[place][f"{site.name}.cej"],
                        "crest": marks[place][f"{site.name}{CREST}"],
                        "to_right": site.name.endswith("distal") is front_is_right(of),
                    }
                    for site in answer.told.sites
                ],
            }
            for place, (number, of) in enumerate(zip((earlier, later), answer.films, strict=True))
        ]
    }


def title_of(of: RecallFilm, *, is_later: bool) -> str:
    """What one of the two is called, and how it is mounted where it is not as usual."""
    title = capital(film_title(of.film.view.title, of.marks.taken_on, is_later=is_later))
    return f"{title} (mirrored)" if of.marks.mounting is Mounting.MIRRORED else title


def _film(kept: KeptFilm, known: Catalogue) -> RecallFilm:
    return recall_film(kept.label, marks_of_further(kept), known)


def _places(of: RecallFilm) -> dict[str, tuple[float, float]]:
    return {
        name: (mark.x_px, mark.y_px)
        for name, mark in of.marks.marks.items()
        if mark.x_px is not None and mark.y_px is not None
    }


__all__ = [
    "FilmOffered",
    "films_offered",
    "films_side_by_side",
    "kept_recall",
    "kept_repeat_card",
    "title_of",
]
