"""Exercises in words: what is asked, what can be chosen, and what the film shows and why."""

from collections.abc import Sequence

from bitewright.competence.attempts import Skill
from bitewright.explanation.correction import Cause, CauseName, Estimated, Movement, Need
from bitewright.explanation.likely_causes import CAUSES
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace
from bitewright.quality.findings import pair_name
from bitewright.quality.rating import ContactState
from bitewright.teaching.correcting import contacts_won
from bitewright.teaching.exercises import NOTHING_UNREAD, Exercise, decided_contacts
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import ItemKind
from bitewright.teaching.planted import CONE_CUTS, PLANTINGS, cause_of
from bitewright.teaching.planted import TWINS as TWINS_OF
from bitewright.teaching.reading import LETTERS, FilmReading, ReadQuestion
from bitewright.teaching.spoilt_film import SpoiltFilm
from bitewright.words.aiming import best_aim_words
from bitewright.words.causes import SAID, TWINS, cause_words, how_to_tell, signs_of
from bitewright.words.corrections import RIM_QUESTION
from bitewright.words.film_readings import reading_words
from bitewright.words.handled import HANDLED_WORDS, handled_explained
from bitewright.words.movements import OPENING, instruction, with_unit
from bitewright.words.phrases import capital, counted, listed
from bitewright.words.skills import SKILLS
from bitewright.words.visit_exercises import (
    CANINE_NOT_ASKED,
    spoilt_words,
    visit_choice,
    visit_question,
    visit_words,
)

SURE_TITLES = ("guessing", "fairly sure", "certain")
"""How sure somebody says to be, in three steps."""

ON_OWN_COMPUTER = (
    "The answers are kept apart from this file. On one's own computer nothing is secret for ever: "
    "it is for practice, not for an examination."
)
_AS_DRAWN = "Dashed: as it stood. Solid: as it should stand."
FROM_ABOVE = f"From above, the front at the top. {_AS_DRAWN}"
ALONG_ROW = f"Along the row of teeth, as from in front of the patient. {_AS_DRAWN}"
FROM_CHEEK = f"From the cheek: the receptor behind the teeth. {_AS_DRAWN}"
HANDOUT = (
    "Commit to an answer, and say how sure you are, before you turn to the key: guessing, fairly "
    "sure or certain."
)
KEY_ABOUT = "The films are shown as they would have been. Where two answers stand, both are right."
CANNOT_SPLIT = "No film tells whether it was the tube or the receptor."
TO_BE_FILLED_IN = (
    "Tube: ........ degrees to the front / to the back",
    "Receptor: ........ mm to the front / to the back",
)
"""On paper, where a movement is asked for."""
_TURNED = {
    PlantedFault.TURNED_TO_CANINE: CauseName.TUBE_TOO_FAR_FORWARD,
    PlantedFault.TURNED_TO_TEETH: CauseName.TUBE_TOO_FAR_BACK,
}
_RING = ", its ring and the tube with it"
_BEAM_OFF = {
    PlantedFault.BEAM_OFF_FRONT: (
        "the tube stood too far to the back beside its ring, so that the beam missed the "
        "receptor's front edge"
    ),
    PlantedFault.BEAM_OFF_BACK: (
        "the tube stood too far to the front beside its ring, so that the beam missed the "
        "receptor's back edge"
    ),
}


AT_NONE = "at none of them"
"""The choice that no contact overlaps."""


def planted_fault_words(fault: PlantedFault) -> str:
    """A fault without its size, as a choice."""
    if fault in _BEAM_OFF:
        return _BEAM_OFF[fault]
    if fault in HANDLED_WORDS:
        return HANDLED_WORDS[fault].said
    if fault in _TURNED:
        return TWINS[_TURNED[fault]].format(that="", ring=_RING)
    return SAID[CauseName(fault.value)].format(size="", by="")


def item_question(exercise: Exercise) -> str:
    """What is asked."""
    view = exercise.film.plan.view.title
    if exercise.visit is not None:
        return visit_question(exercise.visit)
    if exercise.reading is not None:
        return {
            ReadQuestion.OVERLAP: "At which of the marked contacts do the crowns overlap?",
            ReadQuestion.SURFACE: "Which surface stands at the letter A?",
            ReadQuestion.FRONT: "Which end of this film is the front of the mouth?",
        }[exercise.reading.asks]
    return {
        ItemKind.NAME: f"What went wrong with this {view} bitewing?",
        ItemKind.CORRECT: (
            f"Which way, what, and how far? Move tube or receptor as this {view} bitewing needed."
        ),
        ItemKind.AIM: (
            f"Set up a {view} bitewing in this mouth, for caries between the teeth, with as few "
            "exposures as you can."
        ),
        ItemKind.DECIDE: (
            f"This {view} bitewing was to show caries between these teeth; {CANINE_NOT_ASKED}. "
            "Which contact does it leave unread, so that another exposure might be justified for "
            "it?"
        ),
        ItemKind.ORDER: (
            f"{capital(planted_fault_words(exercise.film.fault))}. In which order do you look, "
            "before another exposure?"
        ),
    }[exercise.kind]


def choice_words(exercise: Exercise) -> tuple[str, ...]:
    """What can be chosen."""
    if exercise.reading is not None:
        return tuple(_reading_choice(exercise.reading, each) for each in exercise.choices)
    if exercise.visit is not None:
        return tuple(visit_choice(each) for each in exercise.choices)
    if exercise.kind is ItemKind.NAME:
        return tuple(planted_fault_words(PlantedFault(each)) for each in exercise.choices)
    if exercise.kind is ItemKind.DECIDE:
        none = "none: every contact that was asked for can be read"
        return tuple(none if each == NOTHING_UNREAD else each for each in exercise.choices)
    return exercise.choices


def _reading_choice(reading: FilmReading, choice: str) -> str:
    if reading.asks is ReadQuestion.OVERLAP:
        return choice if choice in LETTERS else AT_NONE
    if reading.asks is ReadQuestion.SURFACE:
        code, surface = choice.split(".")
        return f"the {surface} surface of {code}"
    return f"the {choice} end"


def explanation_words(exercise: Exercise) -> tuple[str, ...]:
    """What the film shows and why: the answer first, a sentence each."""
    if exercise.reading is not None:
        said = fault_explained(exercise.film)[0]
        return reading_words(exercise.reading, exercise.film, said)
    if exercise.kind is ItemKind.AIM:
        return best_aim_words(exercise.film.plan)
    if exercise.kind is ItemKind.DECIDE:
        fault = fault_explained(exercise.film)
        if exercise.visit is None:
            return (_unread_words(exercise), DECIDED_BY_A_PERSON, *fault)
        of_film = f"{spoilt_words(exercise.visit)} {fault[0][:1].lower()}{fault[0][1:]}"
        return (*visit_words(exercise.visit), DECIDED_BY_A_PERSON, of_film, *fault[1:])
    if exercise.kind is ItemKind.ORDER:
        right = [exercise.choices[k] for k in exercise.key]
        return (
            f"As it is done at the chair ({exercise.source}): {_numbered(right)}.",
            *fault_explained(exercise.film),
        )
    return fault_explained(exercise.film)


def _numbered(steps: Sequence[str]) -> str:
    """Steps, which hold colons of their own, by number."""
    return "; ".join(f"{number}. {step}" for number, step in enumerate(steps, start=1))


DECIDED_BY_A_PERSON = (
    "Whether there is another exposure is for the practitioner to decide; how a film looks is no "
    "reason for one."
)


def fault_explained(film: SpoiltFilm) -> tuple[str, ...]:
    """What was off, what shows it, what to move, and how to tell what no film can."""
    if film.handled is not None:
        return handled_explained(film.fault, on_film=film.handled.on_film)
    said = capital(_cause_words(film))
    signs = _signs(film)
    told = [f"{said}.", *([f"What shows it: {signs}."] if signs else [])]
    told.append(f"{capital(OPENING)}: {_movement_words(film)}.")
    if film.fault in TWINS_OF:
        return (*told, f"{CANNOT_SPLIT} {RIM_QUESTION}")
    cause = _cause(film)
    tell = "" if cause is None else how_to_tell(cause)
    return (*told, *([f"{tell}."] if tell else []))


def _amount(film: SpoiltFilm) -> float:
    value: float = getattr(film.slip, PLANTINGS[film.fault].part)
    return value


def _unit(film: SpoiltFilm) -> str:
    return "mm" if PLANTINGS[film.fault].part.endswith("_mm") else "deg"


def _cause(film: SpoiltFilm) -> Cause | None:
    name = cause_of(film.fault)
    if name is None:
        return None
    size = abs(_amount(film))
    exact = Estimated(value=size, low=size, high=size)
    return Cause(name=name, size=exact, unit=_unit(film), weight=1.0)


def _cause_words(film: SpoiltFilm) -> str:
    cause = _cause(film)
    return planted_fault_words(film.fault) if cause is None else cause_words(cause)


def _signs(film: SpoiltFilm) -> str:
    measured, best = film.prediction.measurements, film.plan.prediction.measurements
    if film.fault in CONE_CUTS:
        margins = measured.beam_margin_mm[0]
        place = BeamPlace.FRONT if film.fault is PlantedFault.BEAM_OFF_FRONT else BeamPlace.BACK
        blank = with_unit(-float(margins[BEAM_PLACES.index(place)]), "mm")
        return f"the {place.value} {blank} of the film, which the beam left blank"
    if PLANTINGS[film.fault].part == "roll_deg":
        slope = float(measured.occlusal_slope_deg[0] - best.occlusal_slope_deg[0])
        way = "lower" if slope > 0.0 else "higher"
        return (
            f"the line of the bite, its front end {with_unit(abs(slope), 'deg')} {way} in the "
            "image than on the best film"
        )
    cause = _cause(film)
    return signs_of(cause, film.pattern) if cause is not None else ""


def _movement_words(film: SpoiltFilm) -> str:
    if film.fault in CONE_CUTS:
        way = "front" if film.fault is PlantedFault.BEAM_OFF_FRONT else "back"
        slide = with_unit(abs(_amount(film)), "mm")
        return (
            f"slide the tube {slide} to the {way} without turning it, until its rim is flush with "
            "the ring"
        )
    part = next(part for part, names in CAUSES.items() if cause_of(film.fault) in names)
    needed = -_amount(film)
    movement = Movement(
        part=part,
        needed=Estimated(value=needed, low=needed, high=needed),
        need=Need.MOVE,
    )
    return instruction(movement, rim_radius_mm=film.plan.station.holder.ring_to_receptor_mm)


def _unread_words(exercise: Exercise) -> str:
    """Which contact is unread and why, or that none is, though crowns may overlap a little."""
    right = exercise.choices[exercise.key[0]]
    made = exercise.film.prediction
    measured = made.measurements
    overlaps = dict(
        zip(map(pair_name, measured.wanted.contacts), measured.overlap_mm[0], strict=True)
    )
    states = dict(zip(overlaps, map(ContactState, made.rating.states[0].tolist()), strict=True))
    little = [
        f"{name} by {float(overlaps[name]):.1f} mm"
        for name in decided_contacts(exercise.film)
        if states[name] is ContactState.READABLE
    ]
    besides = f" Crowns overlap at {listed(little)}, little enough to be read." if little else ""
    if right == NOTHING_UNREAD:
        said = "Every contact that was asked for can be read: none asks for another exposure."
        return f"{said}{besides}"
    why = (
        "is not shown on the film"
        if states[right] is ContactState.NOT_SHOWN
        else f"is hidden by an overlap of {float(overlaps[right]):.1f} mm"
    )
    return f"{right} {why}; every other contact that was asked for can be read.{besides}"


def correction_words_of(film: SpoiltFilm, *, now: float | None, of_best: float) -> str:
    """What a student's movement would have made of the film.

    ``now`` and ``of_best``: contacts as `contacts_won` counts; ``now`` None where nobody could
    expose it so.
    """
    if now is None:
        return "Moved so, the receptor would have had no room: the film cannot be taken."
    was = contacts_won(film.prediction)
    return (
        f"Counting an open contact 1 and one that overlaps but can be read a half: the film showed "
        f"{was:g}, with your movement it would have shown {now:g}, with the best aim {of_best:g}."
    )


def set_title(count: int, kinds: Sequence[ItemKind], *, own: int = 0) -> str:
    """What a set is called: how many exercises, of which kinds, ``own`` of them with real films."""
    given = [SKILLS[Skill(kinds[k % len(kinds)].value)] for k in range(own, count)]
    named = [f"{counted(own, 'real film')}"] if own else []
    named += list(dict.fromkeys(given))
    return f"{counted(count, 'exercise')}: {listed(named)}"


def outcome_words(score: float | None) -> str:
    """How an answer came out, in a word or two."""
    if score is None:
        return "Not answered"
    if score >= 1.0:
        return "Right"
    return "Not right" if score <= 0.0 else f"Partly right: {score:.0%}"


def sure_words(sure: float | None) -> str:
    """How sure somebody said to be; nothing where it was not said."""
    return "" if sure is None else SURE_TITLES[round(2.0 * sure)]


def set_written(title: str, page: object, key: object) -> str:
    """Where a set and its key were written."""
    return (
        f"{title}. For students: {page}, which holds films and questions. For you alone: {key}, "
        "which holds the answers."
    )


def right_words(kind: ItemKind, choices: Sequence[str], key: Sequence[int]) -> str:
    """What was right, for the key, with the numbers that the choices have on the handout."""
    if kind is ItemKind.CORRECT:
        return "What moves, which way and how far:"
    if kind is ItemKind.ORDER:
        return f"In this order: {', '.join(str(k + 1) for k in key)}."
    return f"{'; or '.join(f'{k + 1}, {choices[k]}' for k in key)}."


def key_title(title: str) -> str:
    """The key of a set."""
    return f"Key. {title}"


def film_of_exercise(number: int) -> str:
    """What a picture in a handout shows, for who cannot see it."""
    return f"The film of exercise {number}."


def mark_words(points: float, items: int) -> str:
    """A sum of marks."""
    return f"{points:.1f} of {counted(items, 'exercise')}"


__all__ = [
    "ALONG_ROW",
    "AT_NONE",
    "DECIDED_BY_A_PERSON",
    "FROM_ABOVE",
    "FROM_CHEEK",
    "HANDOUT",
    "KEY_ABOUT",
    "ON_OWN_COMPUTER",
    "SURE_TITLES",
    "TO_BE_FILLED_IN",
    "choice_words",
    "correction_words_of",
    "explanation_words",
    "fault_explained",
    "film_of_exercise",
    "item_question",
    "key_title",
    "mark_words",
    "outcome_words",
    "planted_fault_words",
    "right_words",
    "set_title",
    "set_written",
    "sure_words",
]
