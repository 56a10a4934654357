"""Explain a marked film: which way it was off, what to move, how sure; and learn its mouth."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.holders import Holder
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.explanation.chairside_answers import Answers, ChairsideQuestion
from bitewright.explanation.explain import explain
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.film_pattern import film_pattern
from bitewright.explanation.needs import AsMarked
from bitewright.exposing.landmarks import Status
from bitewright.mouth.mouth import Mouth
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.assess.chairside_answers import check_ring
from bitewright.tasks.assess.each_film_once import check_each_once, digests
from bitewright.tasks.assess.estimate_visit import estimate_known, estimate_learned
from bitewright.tasks.assess.film_assessment import FEWEST_MARKS, FilmAssessment, FilmExplanation
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.assess.usual_equipment import USUAL_HOLDER
from bitewright.tasks.assess.visit_films import (
    VisitFilm,
    closed_teeth_of_visit,
    further_film,
    nearest_receptor,
)
from bitewright.words.assumptions import (
    NO_RECEPTOR,
    learned_before,
    mouth_taken_as_known,
    together_with,
    too_few_marks,
)
from bitewright.words.corrections import correction_words
from bitewright.words.seen_faults import seen_faults


class KnownAndLearnedError(BitewrightError):
    """A mouth cannot be both known and learned."""

    def __init__(self) -> None:
        super().__init__(
            "A mouth file and a belief were both given: a mouth that is known needs no belief; "
            "give --mouth alone, or --belief and --save-belief without it."
        )


class RimToldBothWaysError(BitewrightError):
    """The rim was told flush and not flush."""

    def __init__(self) -> None:
        super().__init__(
            "The rim was told flush and not flush: give --rim-flush, --rim-off or --answer rim=, "
            "one of them."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BesideTheMarks:
    """What is known of a film beside its marks.

    Parameters
    ----------
    known : Catalogue
        Where the most likely receptor and the usual holder are found if nobody names them.
    tube : Tube
    mouth : Mouth or None
        A mouth that is known.
    belief : MouthBelief or None
        What earlier films taught about one that is not.
    also : tuple of TakenFilm
        Further films of the same visit.
    rim_flush : bool or None
        Whether the tube's rim stood flush with its ring, if somebody looked.
    answers : Answers
        From the chairside, that about the rim as well.
    seed : int

    Raises
    ------
    KnownAndLearnedError
        If mouth and belief are both given.
    RimToldBothWaysError
    """

    known: Catalogue
    tube: Tube
    mouth: Mouth | None = None
    belief: MouthBelief | None = None
    also: tuple[TakenFilm, ...] = ()
    rim_flush: bool | None = None
    answers: Answers = field(default_factory=dict)
    seed: int = 0

    def __post_init__(self) -> None:
        if self.mouth is not None and self.belief is not None:
            raise KnownAndLearnedError
        if self.rim_flush is not None and self.rim is not self.rim_flush:
            raise RimToldBothWaysError

    @property
    def rim(self) -> bool | None:
        """Whether the rim stood flush with its ring, whichever way that was told."""
        return self.answers.get(ChairsideQuestion.RIM, self.rim_flush)

    def answered(self, holder: Holder) -> Answers:
        """What was answered of an exposure with a holder, the rim's question first.

        Raises
        ------
        AnsweredWithoutRingError
            If that is about a ring, which the holder does not have.
        """
        rim = {} if self.rim is None else {ChairsideQuestion.RIM: self.rim}
        every = {**rim, **self.answers}
        check_ring(holder, every)
        return every


def explain_film(
    assessed: FilmAssessment, beside: BesideTheMarks, *, begin: Begin = unwatched
) -> FilmAssessment:
    """An assessment with its explanation: exposure and mouth estimated, and what to move.

    Raises
    ------
    StoppedError
        If `begin` stopped it.
    OtherTeethError
        If the belief is about a mouth with other teeth.
    AnsweredWithoutRingError
        If rim and ring were answered of a holder without a ring.
    FilmReadTwiceError, FilmLearnedBeforeError
    """
    films = [each.marks for each in (assessed.film, *beside.also)]
    check_each_once(films, beside.belief)
    explained = _explained(assessed, beside, begin)
    return replace(assessed, explained=explained, rim_flush=beside.rim, answers=beside.answers)


def _explained(assessed: FilmAssessment, beside: BesideTheMarks, begin: Begin) -> FilmExplanation:
    holder = assessed.holder or beside.known.holder(USUAL_HOLDER)
    answers = beside.answered(holder)
    taken, landmarks = assessed.film, assessed.assessment.landmarks
    caveats = _receptor_caveat(taken)
    if int(np.sum(landmarks.status[0] == Status.SEEN)) < FEWEST_MARKS:
        few = too_few_marks(FEWEST_MARKS)
        return FilmExplanation(explanation=None, words=None, caveats=(*caveats, few))
    receptor = taken.receptor or nearest_receptor(beside.known, landmarks)
    others = [further_film(each, receptor) for each in beside.also]
    films = [VisitFilm(taken=taken, landmarks=landmarks, receptor=receptor), *others]
    belief = None
    if beside.mouth is not None:
        found = estimate_known(films, beside.mouth, holder, beside.tube, begin=begin)
    else:
        closed = closed_teeth_of_visit(films)
        found, belief = estimate_learned(
            films, beside.belief, holder, beside.tube, begin=begin, closed=closed
        )
        new = digests([each.taken.marks for each in films])
        belief = replace(belief, learned_from=(*belief.learned_from, *new))
    with all_cores() as threads:
        explained = explain(
            found,
            taken.view,
            question=assessed.question,
            marked=AsMarked(
                slope_deg=float(assessed.assessment.measurements.occlusal_slope_deg[0]),
                teeth_apart_mm=float(assessed.assessment.measurements.closure_mm[0]),
                serves=assessed.serves is True,
                likely_failed=assessed.likely_failed,
                mended_first=bool(seen_faults(taken.marks.observations)),
                lacked=assessed.lacked,
                borders=assessed.borders,
                answers=answers,
            ),
            generator=np.random.default_rng(beside.seed),
            threads=threads,
            begin=begin,
        )
    explained = _with_cone_cut(explained, assessed)
    not_known_before = beside.mouth is None and beside.belief is None
    words = correction_words(
        explained.correction,
        pattern=film_pattern(landmarks, assessed.assessment.measurements, explained.plan),
        ring=explained.plan.station.holder.ring,
        rim_flush=beside.rim,
        region=taken.view.region if not_known_before else None,
        serves=assessed.serves is True,
        likely_failed=assessed.likely_failed,
        then=explained.next,
    )
    return FilmExplanation(
        explanation=explained,
        words=words,
        caveats=(*caveats, *_mouth_caveat(beside), *_visit_caveat(others)),
        belief=belief,
    )


def _with_cone_cut(explained: Explanation, assessed: FilmAssessment) -> Explanation:
    """The explanation of a film on which a cone cut was seen: then something has to move."""
    cut_mm = assessed.cone_cut_mm
    if cut_mm is None:
        return explained
    return replace(explained, correction=explained.correction.with_cone_cut(cut_mm))


def _receptor_caveat(taken: TakenFilm) -> tuple[str, ...]:
    """What had to be assumed about the receptor."""
    if taken.receptor is not None:
        return ()
    return (NO_RECEPTOR,)


def _mouth_caveat(beside: BesideTheMarks) -> tuple[str, ...]:
    """That the mouth was known, or that earlier films taught of it."""
    if beside.mouth is not None:
        return (mouth_taken_as_known(beside.mouth.name),)
    if beside.belief is not None and beside.belief.films:
        return (learned_before(beside.belief.films),)
    return ()


def _visit_caveat(others: Sequence[VisitFilm]) -> tuple[str, ...]:
    """Which further films went in: their mouth must be the same."""
    if not others:
        return ()
    return (together_with([(each.taken.marks.image_name, each.view.title) for each in others]),)


__all__ = [
    "FEWEST_MARKS",
    "BesideTheMarks",
    "KnownAndLearnedError",
    "RimToldBothWaysError",
    "explain_film",
]
