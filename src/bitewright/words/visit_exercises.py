"""A visit to be decided, in words: what is asked, what can be chosen, and what is left unread."""

from collections.abc import Collection

from bitewright.quality.findings import pair_name
from bitewright.quality.rating import ContactState
from bitewright.quality.views import view
from bitewright.quality.wanted import edges
from bitewright.teaching.decided_visit import (
    ALL_FILMS,
    BOTH_FILMS,
    NO_FILM,
    ONE_SIDE,
    DecidedVisit,
)
from bitewright.words.phrases import are, capital, listed

NUMBER_WORDS = {2: "two", 4: "four"}


CANINE_NOT_ASKED = "the canine's contact is not asked for"


def visit_question(of: DecidedVisit) -> str:
    """What is asked."""
    titles = listed([film.plan.view.title for film in of.films])
    return (
        f"The {NUMBER_WORDS[len(of.films)]} films of a visit, {titles}, for caries between the "
        f"teeth; {CANINE_NOT_ASKED}. Which further film, if any, could be justified by what they "
        "leave unread together?"
    )


def visit_choice(choice: str) -> str:
    """What can be decided."""
    if choice == NO_FILM:
        return "none: together they show all that is needed"
    every = {BOTH_FILMS: "both again", ALL_FILMS: "all four again"}
    return every.get(choice) or f"the {view(choice).title} film again"


def visit_words(of: DecidedVisit) -> tuple[str, ...]:
    """What the films leave unread together, and which further film could show it."""
    shown = [
        f"{lost}, which the {film.plan.view.title} film does not show, can be read on the "
        f"{of.beside(number).plan.view.title} film"
        for number, film in enumerate(of.films)
        if (lost := _contacts(of, of.shown_elsewhere[number]))
    ]
    if not of.unread:
        return (f"None: together they show all that is needed. {capital('; '.join(shown))}.",)
    again = listed([f"the {view(name).title} film" for name in of.won_by], last="or")
    told = f"{capital(again)} again: {_unread(of)}."
    return (told, f"{capital('; '.join(shown))}: no film is needed for that.") if shown else (told,)


def spoilt_words(of: DecidedVisit) -> str:
    """On which film, or that on both or all."""
    titles = [of.films[k].plan.view.title for k in of.spoilt]
    if len(titles) == 1:
        return f"On the {titles[0]} film"
    if len(titles) < len(of.films):
        return f"On the {listed(titles)} films"
    return "On both films" if len(titles) == ONE_SIDE else "On all four films"


def _contacts(of: DecidedVisit, names: Collection[str]) -> str:
    """Contacts whose surfaces are named."""
    pairs = {pair for film in of.films for pair in film.prediction.measurements.wanted.contacts}
    return listed([pair_name(pair) for pair in sorted(pairs) if set(edges(pair)) <= set(names)])


def _unread(of: DecidedVisit) -> str:
    """What is unread, and why on the film that could show it."""
    number = next(k for k, film in enumerate(of.films) if film.plan.view.name in of.won_by)
    film, other = of.films[number], of.beside(number).plan.view.title
    title, measured = film.plan.view.title, film.prediction.measurements
    off, over = [], []
    for k, pair in enumerate(measured.wanted.contacts):
        if not set(edges(pair)) <= set(of.unread):
            continue
        if film.prediction.rating.states[0, k] == ContactState.NOT_SHOWN:
            off.append(pair_name(pair))
        else:
            over.append(f"{pair_name(pair)} by {float(measured.overlap_mm[0, k]):.1f} mm")
    told = [f"{listed(off)} {are(len(off))} not shown on the {title} film"] if off else []
    if over:
        told.append(f"crowns overlap on the {title} film at {listed(over)}")
    them = "it" if len(off) + len(over) == 1 else "them"
    return f"{'; '.join(told)}, and the {other} film does not show {them}"


__all__ = ["CANINE_NOT_ASKED", "spoilt_words", "visit_choice", "visit_question", "visit_words"]
