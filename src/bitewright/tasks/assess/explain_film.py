"""Explain a marked film: which way it was off, what to move, how sure; and learn its mouth."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.receptors import Receptor
from bitewright.errors import BitewrightError
from bitewright.estimation.estimate import Estimate, FilmEvidence, estimate
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import MouthShapes, mouth_shapes
from bitewright.explanation.explain import Explanation, explain
from bitewright.explanation.film_pattern import film_pattern
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.files.belief_file import read_belief, write_belief
from bitewright.files.marks_file import read_marks
from bitewright.marking.marked_landmarks import landmarks_from_marks, teeth_on_film
from bitewright.marking.marks import MarkedFilm
from bitewright.mouth.numbering import Side
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.quality.criteria import Question
from bitewright.quality.views import View, view
from bitewright.steps import Begin, unwatched
from bitewright.tasks.assess.drawing_files import check_drawing_path, write_correction_drawing
from bitewright.tasks.catalogue.resources import all_cores, mouth_from
from bitewright.words.corrections import CorrectionWords, correction_words
from bitewright.words.phrases import listed

FEWEST_MARKS = 6
USUAL_HOLDER, USUAL_TUBE = "ring-holder", "rectangular-300"


class KnownAndLearnedError(BitewrightError):
    """A mouth cannot be both known and learned."""

    def __init__(self) -> None:
        super().__init__(
            "A mouth file and a belief were both given: a mouth that is known needs no belief; "
            "give --mouth alone, or --belief and --save-belief without it."
        )


class OtherTeethError(BitewrightError):
    """A belief is about a mouth with other teeth than the film's."""

    def __init__(self, path: Path, differing: Sequence[int]) -> None:
        self.path = path
        self.differing = tuple(differing)
        listed = ", ".join(map(str, differing))
        super().__init__(
            f"The belief {path.name} and the film differ in teeth {listed}: give the belief of "
            "this mouth, or learn it again with the teeth that are there now."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ExplainRequest:
    """How a film is to be explained.

    ``mouth_file`` is a mouth that is known; ``belief_file`` what earlier films taught;
    ``also_marks`` and ``also_films`` are marks of further films of the same visit.
    """

    tube: str = USUAL_TUBE
    mouth_file: Path | None = None
    belief_file: Path | None = None
    save_belief: Path | None = None
    also_marks: tuple[Path, ...] = ()
    also_films: tuple[MarkedFilm, ...] = ()
    drawing: Path | None = None
    seed: int = 0

    def __post_init__(self) -> None:
        if self.mouth_file is not None and (self.belief_file or self.save_belief):
            raise KnownAndLearnedError
        if self.drawing is not None:
            check_drawing_path(self.drawing)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmExplanation:
    """An explanation in numbers and words, and what was written. None where marks are too few."""

    explanation: Explanation | None
    words: CorrectionWords | None
    caveats: tuple[str, ...]
    belief: MouthBelief | None = None
    written: tuple[Path, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MarkedWith:
    """A marked film with the equipment it was taken with."""

    film: MarkedFilm
    view: View
    landmarks: Landmarks
    receptor: Receptor


def explain_film(
    film: MarkedFilm,
    landmarks: Landmarks,
    catalogue: Catalogue,
    request: ExplainRequest,
    *,
    receptor: Receptor | None,
    holder: str | None,
    question: Question,
    begin: Begin = unwatched,
) -> FilmExplanation:
    """Estimate exposure and mouth from a film's marks and say what to move.

    Nothing is written unless everything could be worked out.
    """
    of_view = view(film.view)
    caveats = _caveats(receptor)
    if int(np.sum(landmarks.status[0] == Status.SEEN)) < FEWEST_MARKS:
        few = f"Fewer than {FEWEST_MARKS} landmarks are marked: nothing can be said of the aim."
        return FilmExplanation(explanation=None, words=None, caveats=(*caveats, few))
    used = receptor or nearest_receptor(catalogue, landmarks)
    first = MarkedWith(film=film, view=of_view, landmarks=landmarks, receptor=used)
    also = [*(read_marks(path) for path in request.also_marks), *request.also_films]
    others = [_also(other, catalogue, used) for other in also]
    fit = _Visit(first, others, catalogue, holder or USUAL_HOLDER, request)
    found, belief = fit.estimated(begin)
    caveats = (*caveats, *_together(others))
    with all_cores() as threads:
        explained = explain(
            found,
            of_view,
            question=question,
            generator=np.random.default_rng(request.seed),
            threads=threads,
            begin=begin,
        )
    words = correction_words(
        explained.correction,
        pattern=film_pattern(explained.now, explained.plan),
        ring=explained.plan.station.holder.ring,
    )
    return FilmExplanation(
        explanation=explained,
        words=words,
        caveats=caveats,
        belief=belief,
        written=_written(request, explained, belief),
    )


def nearest_receptor(catalogue: Catalogue, landmarks: Landmarks) -> Receptor:
    """The packaged receptor whose active area is nearest to the image's size."""
    long, short = sorted(2.0 * landmarks.half_size_mm, reverse=True)
    return min(
        catalogue.receptors.values(),
        key=lambda each: abs(each.active_long_mm - long) + abs(each.active_short_mm - short),
    )


class _Visit:
    """The films of one visit and the mouth they share."""

    def __init__(
        self,
        first: MarkedWith,
        others: Sequence[MarkedWith],
        catalogue: Catalogue,
        holder: str,
        request: ExplainRequest,
    ) -> None:
        self.films = [first, *others]
        self.catalogue, self.holder, self.request = catalogue, holder, request
        self.known: Outlines | None = (
            build_outlines(mouth_from(request.mouth_file)) if request.mouth_file else None
        )
        self.teeth = _teeth(self.films)

    def estimated(self, begin: Begin) -> tuple[Estimate, MouthBelief | None]:
        """Films of the other side first: what they teach goes into the side that is asked for."""
        region = self.films[0].view.region
        belief = None if self.known else self._start()
        for side in (region.side.other, region.side):
            own = [each for each in self.films if each.view.region.side is side]
            if not own:
                continue
            shapes = self._shapes(own[0].view)
            believed = None if belief is None else belief.seen_from(side)
            found = estimate([self._evidence(each) for each in own], shapes, believed, begin=begin)
            if believed is not None:
                belief = found.belief(believed)
        return found, belief

    def _start(self) -> MouthBelief:
        path = self.request.belief_file
        if path is None:
            return population(self.teeth)
        belief = read_belief(path)
        differing = sorted(set(belief.teeth) ^ set(self.teeth))
        if differing:
            raise OtherTeethError(path, differing)
        return belief

    def _shapes(self, of: View) -> MouthShapes:
        if self.known is not None:
            return MouthShapes.known(self.known, of.region)
        return mouth_shapes(self.teeth, of.region)

    def _evidence(self, of: MarkedWith) -> FilmEvidence:
        outlines = self.known or build_outlines(mean_mouth(self.teeth))
        return FilmEvidence(landmarks=of.landmarks, station=self._station(of, outlines))

    def _station(self, of: MarkedWith, outlines: Outlines) -> Station:
        return station(
            outlines,
            of.view.region,
            of.receptor,
            self.catalogue.holder(self.holder),
            self.catalogue.tube(self.request.tube),
        )


def _also(film: MarkedFilm, catalogue: Catalogue, usual: Receptor) -> MarkedWith:
    """A further film from its marks alone; its pixel size is the marks' or its receptor's."""
    of_view = view(film.view)
    receptor = catalogue.receptor(film.receptor) if film.receptor else usual
    pixel_mm = film.pixel_mm or receptor.active_long_mm / max(film.columns, film.rows)
    landmarks = landmarks_from_marks(film, of_view, pixel_mm=pixel_mm, receptor=receptor)
    return MarkedWith(film=film, view=of_view, landmarks=landmarks, receptor=receptor)


def _teeth(films: Sequence[MarkedWith]) -> tuple[int, ...]:
    """Teeth on the films; of a side without a film the usual ones."""
    shown = {side: set[int]() for side in Side}
    for each in films:
        shown[each.view.region.side] |= teeth_on_film(each.film, each.view)
    absent = {code for each in films for code in each.film.absent_teeth}
    usual = {10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 8)}
    third = {code for codes in shown.values() for code in codes if code % 10 == 8}
    return tuple(sorted((usual | third) - absent))


def _caveats(receptor: Receptor | None) -> tuple[str, ...]:
    """What had to be assumed about the equipment."""
    if receptor is not None:
        return ()
    return ("No receptor is named: the packaged one nearest in size is taken.",)


def _together(others: Sequence[MarkedWith]) -> tuple[str, ...]:
    """Which further films went in: their mouth must be the same."""
    if not others:
        return ()
    named = listed([f"{each.film.image_name} ({each.view.title})" for each in others])
    return (f"The mouth is estimated from this film together with {named}.",)


def _written(
    request: ExplainRequest, explained: Explanation, belief: MouthBelief | None
) -> tuple[Path, ...]:
    written = []
    if request.drawing is not None:
        written.append(
            write_correction_drawing(
                request.drawing,
                explained.correction,
                present=explained.now,
                plan=explained.plan,
            )
        )
    if request.save_belief is not None and belief is not None:
        write_belief(request.save_belief, belief)
        written.append(request.save_belief)
    return tuple(written)


__all__ = [
    "ExplainRequest",
    "FilmExplanation",
    "KnownAndLearnedError",
    "OtherTeethError",
    "explain_film",
    "nearest_receptor",
]
