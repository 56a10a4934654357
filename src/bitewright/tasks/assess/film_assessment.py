"""What is told of a marked film: its assessment, and its explanation if asked for."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from bitewright import __version__
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.holders import Holder
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.explanation.chairside_answers import Answers, ChairsideQuestion
from bitewright.explanation.correction import Correction, Part
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.quick_reading import QuickReading
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace
from bitewright.marking.assess import Assessment
from bitewright.marking.closed_on_film import closed_on_film
from bitewright.marking.looked_at import looked_at_marks
from bitewright.marking.mark_order import mark_order
from bitewright.marking.marked_landmarks import teeth_without_marks
from bitewright.marking.picture_borders import PictureBorders
from bitewright.marking.rating_chances import (
    SURE,
    DrawnRating,
    StateChance,
    state_chances,
    told_states,
)
from bitewright.quality.criteria import CriterionName
from bitewright.quality.findings import (
    Finding,
    needed_not_shown,
    not_marked,
    not_shown,
    pair_name,
)
from bitewright.quality.questions import AnyQuestion, needs
from bitewright.quality.rating import ContactState, Outcome
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.quality.wanted import edges
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.usual_equipment import USUAL_HOLDER
from bitewright.tasks.documents import (
    contact_document,
    correction_document,
    film_answer_document,
    finding_document,
    next_document,
    rating_document,
)
from bitewright.words.assumptions import no_holder, teeth_taken_to_stand
from bitewright.words.corrections import CorrectionWords
from bitewright.words.film_answers import (
    AnswerBasis,
    FilmAnswer,
    answer_of_marks,
    full_answer,
    quick_answer,
)
from bitewright.words.ratings import doubt_words, fitness_words, openness_words
from bitewright.words.seen_faults import seen_faults
from bitewright.words.verdicts import STATE_WORDS

ASSESSMENT_FORMAT = "bitewright.assessment/1"
FEWEST_MARKS = 6
"""Fewer do not tell which way tube or receptor was off."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmExplanation:
    """An explanation in numbers and words, and what is believed of the mouth now.

    Numbers and words are None where marks are too few, the belief is where the mouth is known.
    """

    explanation: Explanation | None
    words: CorrectionWords | None
    caveats: tuple[str, ...]
    belief: MouthBelief | None = None

    @property
    def sentence(self) -> str:
        """What stands over the drawing: what to do next, as it is told everywhere."""
        return "" if self.words is None else self.words.operator


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmAssessment:
    """What a real film shows, and how sure that is. ``name``: what sentences call the film.

    ``quick`` is what its first marks tell, where that was asked for; ``rim_flush`` whether the
    tube's rim stood flush with its ring, None where nobody looked; ``answers`` from the chairside;
    ``borders`` what the picture says of where marks belong.
    """

    name: str
    film: TakenFilm
    holder: Holder | None
    question: AnyQuestion
    scheme: RatingScheme
    assessment: Assessment
    drawn: DrawnRating
    grade: str
    pixel_mm: float
    pixel_from: str
    image_caveats: tuple[str, ...]
    explained: FilmExplanation | None = None
    quick: QuickReading | None = None
    rim_flush: bool | None = None
    answers: Answers = field(default_factory=dict)
    borders: Mapping[str, PictureBorders] = field(default_factory=dict)

    @property
    def answer(self) -> FilmAnswer:
        """Whether it serves, the one movement and how sure: of all that is known of it by now."""
        said = self.explained
        if said is not None and said.explanation is not None:
            explanation = said.explanation
            return full_answer(self._told, explanation.correction, explanation.next)
        return (
            answer_of_marks(self._told, are_few=self._seen < FEWEST_MARKS)
            if self.quick is None
            else quick_answer(self._told, self.quick)
        )

    @property
    def _seen(self) -> int:
        """How many landmarks are marked where the film shows them."""
        return sum(mark.x_px is not None for mark in self.film.marks.marks.values())

    @property
    def asks(self) -> ChairsideQuestion | None:
        """What somebody who was there is asked; None where the answer asks for the rim already."""
        said = self.explained
        if said is None or said.explanation is None or self.answer.asks_rim:
            return None
        return said.explanation.correction.asks

    @property
    def _told(self) -> AnswerBasis:
        marks, holder = self.film.marks, self._holder
        return AnswerBasis(
            serves=self.serves,
            fails=self.grade == self.scheme.grades["some_failed"],
            fail_chance=self._fail_chance,
            is_rated_whole="?" not in self.grade_chances,
            fitness=self.fitness,
            overlapped=self._overlapped,
            faults=seen_faults(marks.observations),
            ring=holder.ring,
            rim_flush=self.rim_flush,
            answers=self.answers,
            rim_radius_mm=holder.ring_to_receptor_mm,
            is_whole=all(name in marks.marks for name in self._asked_marks),
            cone_cut_mm=self.cone_cut_mm,
            lacked=self.lacked,
            left_open=self._left_open,
        )

    @property
    def _asked_marks(self) -> tuple[str, ...]:
        """Every mark that a person is asked for."""
        marks, of_view = self.film.marks, self.assessment.view
        closed = closed_on_film(marks, of_view, pixel_mm=self.pixel_mm)
        return mark_order(of_view, absent_teeth=marks.absent_teeth, closed=closed)

    @property
    def _holder(self) -> Holder:
        return self.holder or packaged_catalogue().holder(USUAL_HOLDER)

    @property
    def receptor_turned(self) -> frozenset[Part]:
        """The tube's movements that the receptor is to make instead, rim and ring being flush."""
        return self._told.turned

    @property
    def caveats(self) -> tuple[str, ...]:
        """What is doubtful, or had to be assumed, a sentence each."""
        said = () if self.explained is None else self.explained.caveats
        return (*self.image_caveats, *self._teeth_caveat(), *self._closure_caveat(), *said)

    def _teeth_caveat(self) -> tuple[str, ...]:
        bare = teeth_without_marks(self.film.marks, self.film.view)
        return (teeth_taken_to_stand(bare),) if bare else ()

    def _closure_caveat(self) -> tuple[str, ...]:
        if self.holder is not None:
            return ()
        usual = packaged_catalogue().holder(USUAL_HOLDER).title
        return (no_holder(None if self.explained is None else usual),)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """How each criterion came out, doubted over all contacts together."""
        return tuple(self.drawn.doubted_anew(each) for each in self.assessment.findings)

    @property
    def fitness(self) -> str:
        """Whether it answers the question, and what it does not show of the ideal, a sentence."""
        missing = not_shown(self.assessment.measurements)
        shut, perhaps = (
            self._told_as(state)
            for state in (ContactState.UNREADABLE, ContactState.NOT_TOLD_FROM_READABLE)
        )
        of_need = [[name for name in names if name in self._needed] for names in (shut, perhaps)]
        needed = of_need[0] or of_need[1]
        others, others_perhaps = (
            [name for name in names if name not in self._needed] for names in (shut, perhaps)
        )
        return fitness_words(
            self.question,
            self.findings,
            missing,
            needed,
            others,
            others_perhaps,
            not_marked(self.assessment.measurements),
            needed_not_shown(self.assessment.measurements, self.question),
        )

    def _told_as(self, wanted: ContactState) -> list[str]:
        told = zip(self.assessment.wanted.contacts, self.told_states, strict=True)
        return [pair_name(pair) for pair, state in told if state is wanted]

    @property
    def doubt(self) -> str | None:
        """How the marks' uncertainty may turn the rating, a sentence; None if it hardly may."""
        contacts = zip(self.assessment.contacts, self.chances, strict=True)
        return doubt_words(self.grade, self.grade_chances, contacts)

    @property
    def grade_chances(self) -> Mapping[str, float]:
        """How likely each grade is by the marks, over all contacts together."""
        return self.drawn.grade_chances(self.scheme)

    @property
    def chances(self) -> tuple[StateChance | None, ...]:
        """How likely the states of each contact are by the marks."""
        return state_chances(self.assessment.contacts, self.drawn)

    @property
    def told_states(self) -> tuple[ContactState, ...]:
        """The state of each contact as far as its marks tell it from open and from readable."""
        return told_states(self.assessment.contacts, self.chances)

    @property
    def as_told(self) -> Assessment:
        """The assessment with states and doubts as they are told: what every surface shows."""
        told = zip(self.assessment.contacts, self.told_states, strict=True)
        return replace(
            self.assessment,
            contacts=tuple(replace(contact, state=state) for contact, state in told),
            findings=self.findings,
        )

    @property
    def openness(self) -> str | None:
        """That every contact shown is open, as far as marks can tell; None where one is not."""
        shown = [each for each in self.told_states if each is not ContactState.NOT_SHOWN]
        return openness_words(shown, self.drawn.all_open)

    @property
    def serves(self) -> bool | None:
        """Whether what its question needs is surely shown, no needed contact being told from open.

        None as long as further marks may change that.
        """
        fails = self.grade == self.scheme.grades["some_failed"]
        if fails or self._overlapped or self.assessment.cone_cut is not None:
            return False
        if self.grade == "?" or ContactState.UNKNOWN in self._needed.values():
            return None
        return not self._fail_chance > 1.0 - SURE

    @property
    def _fail_chance(self) -> float:
        """How likely what its question needs failed, as far as marked; NaN where that is open."""
        chances, failed = self.grade_chances, self.scheme.grades["some_failed"]
        return np.nan if "?" in chances and self.grade != failed else chances.get(failed, 0.0)

    @property
    def likely_failed(self) -> bool:
        """Whether something that its question needs more likely failed than not."""
        return self._told.likely_failed

    @property
    def lacked(self) -> frozenset[CriterionName]:
        """Criteria that its question needs and the film did not meet; none if it serves."""
        if self.serves:
            return frozenset()
        unmet = (Outcome.SHORT, Outcome.FAILED)
        return frozenset(
            each.criterion.name for each in self.findings if each.needed and each.outcome in unmet
        )

    @property
    def _needed(self) -> Mapping[str, ContactState]:
        """How each contact that the question needs is told."""
        want = self.assessment.wanted
        need = needs(self.question, want).surfaces
        return {
            pair_name(pair): state
            for pair, state in zip(want.contacts, self.told_states, strict=True)
            if need.intersection(edges(pair))
        }

    @property
    def _overlapped(self) -> list[str]:
        shut = (
            ContactState.READABLE,
            ContactState.UNREADABLE,
            ContactState.NOT_TOLD_FROM_READABLE,
        )
        return [name for name, state in self._needed.items() if state in shut]

    @property
    def _left_open(self) -> float:
        """How likely the one contact told as overlapped is open; nought where there are more."""
        if len(self._overlapped) != 1:
            return 0.0
        pairs = self.assessment.wanted.contacts
        every = {pair_name(pair): each for pair, each in zip(pairs, self.chances, strict=True)}
        chance = every[self._overlapped[0]]
        return 0.0 if chance is None else chance.open

    @property
    def cone_cut_mm(self) -> dict[BeamPlace, float] | None:
        """What a cone cut seen on the film left blank, at each edge and corner it cuts. [mm]

        Empty where its edge is not marked; None where none was seen.
        """
        if self.assessment.cone_cut is None:
            return None
        margins = self.assessment.measurements.beam_margin_mm[0]
        return {
            place: -float(margin)
            for place, margin in zip(BEAM_PLACES, margins, strict=True)
            if -np.inf < margin < 0.0
        }

    @property
    def correction(self) -> Correction | None:
        """The movement that mends the exposure; None where nothing can be said of it."""
        explanation = None if self.explained is None else self.explained.explanation
        return None if explanation is None else explanation.correction

    def document(self, *, overlay: Path | None = None) -> dict[str, Any]:
        """As data for machines; ``overlay`` is where its picture was written."""
        document: dict[str, Any] = {
            "format": ASSESSMENT_FORMAT,
            "version": __version__,
            "view": self.assessment.view.name,
            "view_title": self.assessment.view.title,
            "image": self.name,
            "pixel_mm": self.pixel_mm,
            "pixel_from": self.pixel_from,
            "rating": rating_document(self.scheme, self.grade, self.question, self.fitness)
            | {
                "doubt": self.doubt,
                "chances": {each: round(share, 3) for each, share in self.grade_chances.items()},
                "openness": self.openness,
            },
            "criteria": [finding_document(finding) for finding in self.findings],
            "contacts": [
                contact_document(contact, chance) | {"told": STATE_WORDS[told]}
                for contact, chance, told in zip(
                    self.assessment.contacts,
                    self.chances,
                    self.told_states,
                    strict=True,
                )
            ],
            "cone_cut_mm": None
            if self.cone_cut_mm is None
            else {place.value: round(cut, 2) for place, cut in self.cone_cut_mm.items()},
            "observations": [remark.name for remark in self.film.marks.observations],
            "answer": film_answer_document(self.answer, self.asks),
            "caveats": list(self.caveats),
            "overlay": None if overlay is None else str(overlay),
        }
        looked = looked_at_marks(self.film.marks)
        if looked is not None:
            who = self.film.marks.marked_by
            document["proposed_marks"] = asdict(looked) | ({"confirmed_by": who} if who else {})
        said = self.explained
        if said is not None and said.explanation is not None and said.words is not None:
            document["explanation"] = correction_document(
                said.explanation.correction, said.words, receptor_turned=self.receptor_turned
            ) | {"next": next_document(said.explanation.next)}
        return document


__all__ = [
    "ASSESSMENT_FORMAT",
    "FilmAssessment",
    "FilmExplanation",
]
