"""List views, criteria, equipment and schemes with their sources."""

from typing import Any

from bitewright.equipment.catalogue import Catalogue
from bitewright.quality.criteria import criteria
from bitewright.quality.rating_schemes import rating_schemes
from bitewright.quality.views import view, view_names
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.words.checklists import LOOK_AT, in_order
from bitewright.words.log_titles import fault_title

Rows = list[dict[str, Any]]

CATALOGUE_FORMAT = "bitewright.catalogue/1"


def list_catalogue(what: str, known: Catalogue) -> dict[str, Any]:
    """Entries of one kind, such as "views" or "checklists".

    Each has a title to be read and the name that is typed for it.
    """
    lists: dict[str, Any] = {
        "views": _views,
        "criteria": _criteria,
        "schemes": _schemes,
        "checklists": _checklists,
        "receptors": lambda: _receptors(known),
        "holders": lambda: _holders(known),
        "tubes": lambda: _tubes(known),
    }
    return {"format": CATALOGUE_FORMAT, "kind": what, "entries": lists[what]()}


def _receptors(known: Catalogue) -> Rows:
    return [
        {
            "title": r.title,
            "name": r.name,
            "outer mm": f"{r.outer_long_mm:g} x {r.outer_short_mm:g} x {r.thickness_mm:g}",
            "active mm": f"{r.active_long_mm:g} x {r.active_short_mm:g}",
            "pixel mm": f"{r.pixel_mm:g}",
            "source": r.source,
        }
        for r in known.receptors.values()
    ]


def _holders(known: Catalogue) -> Rows:
    return [
        {
            "title": h.title,
            "name": h.name,
            "bite block mm": f"{h.bite_block_thickness_mm:g}",
            "ring": "yes" if h.ring else "no",
            "source": h.source,
        }
        for h in known.holders.values()
    ]


def _tubes(known: Catalogue) -> Rows:
    return [
        {
            "title": t.title,
            "name": t.name,
            "source to end mm": f"{t.source_to_end_mm:g}",
            "kV": f"{t.kv:g}",
            "field": t.field.value,
            "source": t.source,
        }
        for t in known.tubes.values()
    ]


def _views() -> Rows:
    made = [view(name) for name in view_names()]
    return [
        {
            "title": each.title,
            "name": each.name,
            "purpose": each.purpose,
            "contacts": " ".join(f"{a}-{b}" for a, b in each.contacts),
            "source": each.source,
        }
        for each in made
    ]


def _criteria() -> Rows:
    return [
        {
            "title": each.title,
            "name": each.name.value,
            "says": each.says,
            "target": f"{each.met:g} {each.unit}",
            "fails": "" if each.fails is None else f"{each.fails:g} {each.unit}",
            "source": each.source,
        }
        for each in criteria().values()
    ]


def _schemes() -> Rows:
    return [
        {
            "title": each.title,
            "name": each.name,
            "says": each.says,
            "year": each.year,
            "source": each.source,
        }
        for each in rating_schemes().values()
    ]


def _checklists() -> Rows:
    return [
        {
            "title": f"{fault_title(each.fault)}{' (own)' if each.is_own else ''}",
            "name": each.fault,
            LOOK_AT: in_order(each),
            "source": each.source,
        }
        for each in known_checklists().values()
    ]


def titles_of(what: str, known: Catalogue) -> dict[str, str]:
    """The title of each entry of one kind by its name, as a page offers them."""
    return {row["name"]: row["title"] for row in list_catalogue(what, known)["entries"]}


__all__ = ["list_catalogue", "titles_of"]
