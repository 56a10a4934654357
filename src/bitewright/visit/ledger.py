"""The ledger of a visit: each surface and crest against each film, and what nothing shows."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from bitewright.errors import BitewrightError
from bitewright.exposing.region import Zone
from bitewright.marking.closed_on_film import closed_on_film
from bitewright.marking.marked_landmarks import teeth_on_film
from bitewright.mouth.numbering import Side
from bitewright.quality.criteria import Question
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.wanted import Pair
from bitewright.visit.film_evidence import FilmOfVisit, Shown, SiteEvidence, film_evidence
from bitewright.visit.readable import chance_somewhere, readable_chance
from bitewright.visit.sites import BOTH_SIDES, visit_sites

SURE = 0.8
"""At least this likely is said plainly, both ways; between, it is doubtful. Our choice: one in
five of the least sure may be wrong, most are far surer (docs/visit.md has the figures)."""


class Reading(StrEnum):
    """What can be said of a surface or crest, the best first."""

    READABLE = "readable"
    DOUBTFUL = "doubtful"
    NOT_MARKED = "not-marked"
    HIDDEN = "hidden"
    OFF = "off"
    NOT_TAKEN = "not-taken"


BEST_FIRST = tuple(Reading)
UNREAD = frozenset({Reading.HIDDEN, Reading.OFF, Reading.NOT_TAKEN})
"""What no film shows, as far as marks say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One surface or crest on one film.

    Parameters
    ----------
    reading : Reading
    chance : float or None
        That it can be read here; None where the film tells nothing.
    overlap_mm : float or None
        At its contact; negative is a space. [mm]
    """

    reading: Reading
    chance: float | None
    overlap_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerRow:
    """One surface or crest of a visit.

    Parameters
    ----------
    name : str
    is_needed : bool
        Whether the question needs it.
    cells : tuple of Cell
        One a film, in the ledger's order.
    reading : Reading
        Over all films together.
    chance : float
        That it can be read on at least one of them.
    best : int or None
        Which film serves best; None where none shows it.
    """

    name: str
    is_needed: bool
    cells: tuple[Cell, ...]
    reading: Reading
    chance: float
    best: int | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ledger:
    """What the films of a visit show together, by surface and crest.

    ``absent`` teeth are missing; the pairs of ``closed`` meet across some of them.
    """

    films: tuple[FilmOfVisit, ...]
    question: AnyQuestion
    sides: tuple[Side, ...]
    absent: tuple[int, ...]
    closed: tuple[Pair, ...]
    rows: tuple[LedgerRow, ...]

    def needed(self, *readings: Reading) -> tuple[LedgerRow, ...]:
        """What the question needs, of some readings; all of it where none is named."""
        return tuple(
            row for row in self.rows if row.is_needed and (not readings or row.reading in readings)
        )

    @property
    def unread(self) -> tuple[LedgerRow, ...]:
        """What the question needs and no film shows."""
        return self.needed(*UNREAD)


class TeethDisagreeError(BitewrightError):
    """A tooth is said to be missing by one film's marks and is marked on another."""

    def __init__(self, tooth: int, marked_on: str, absent_by: str) -> None:
        self.tooth = tooth
        super().__init__(
            f"Tooth {tooth} is marked on {marked_on} and said to be missing by the marks of "
            f"{absent_by}: correct one of the two, or leave out the film that is another mouth's."
        )


def ledger(
    films: Sequence[FilmOfVisit],
    question: AnyQuestion = Question.ENAMEL,
    *,
    sides: Sequence[Side] = BOTH_SIDES,
) -> Ledger:
    """The ledger of a visit's films; their order changes nothing.

    Parameters
    ----------
    films : sequence of FilmOfVisit
        All of one patient and one day: nothing here can tell.
    question : AnyQuestion
    sides : sequence of Side
        Those the visit is for.

    Raises
    ------
    TeethDisagreeError
    SurfaceNotInVisitError
    NothingMarkedError, ToothNotInViewError, WrongWayRoundError, UpsideDownError
    """
    ordered = tuple(sorted(films, key=_film_order))
    absent = _absent(ordered)
    closed = _closed(ordered, absent)
    sites = visit_sites(question, _teeth(ordered, absent), sides, closed=closed)
    evidence = [film_evidence(each, absent, closed) for each in ordered]
    return Ledger(
        films=ordered,
        question=question,
        sides=tuple(sides),
        absent=tuple(sorted(absent)),
        closed=tuple(sorted(closed)),
        rows=tuple(
            _row(
                name,
                [each.get(name, NOT_TAKEN) for each in evidence],
                sites.unreadable_share,
                is_needed=name in sites.needed,
            )
            for name in sites.names
        ),
    )


NOT_TAKEN = SiteEvidence(shown=Shown.NOT_TAKEN)


def _film_order(film: FilmOfVisit) -> tuple[bool, bool, str, str]:
    """Right before left, premolars before molars, then by name."""
    region = film.view.region
    return region.side is Side.LEFT, region.zone is Zone.MOLAR, film.view.name, film.name


def _absent(films: Sequence[FilmOfVisit]) -> frozenset[int]:
    by = {code: film for film in reversed(films) for code in film.marks.absent_teeth}
    for film in films:
        for code in sorted({int(name[:2]) for name in film.marks.marks}):
            if code in by:
                raise TeethDisagreeError(code, film.name, by[code].name)
    return frozenset(by)


def _closed(films: Sequence[FilmOfVisit], absent: frozenset[int]) -> frozenset[Pair]:
    """Pairs that meet across missing teeth on any film."""
    return frozenset(
        pair
        for each in films
        for pair in closed_on_film(each.marks, each.view, pixel_mm=each.pixel_mm, absent=absent)
    )


def _teeth(films: Sequence[FilmOfVisit], absent: frozenset[int]) -> frozenset[int]:
    """Teeth of the whole mouth: the usual 28 and third molars that are marked, less the absent."""
    usual = {10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 8)}
    marked = {code for each in films for code in teeth_on_film(each.marks, each.view)}
    return frozenset(usual | marked) - absent


def _row(
    name: str, each: Sequence[SiteEvidence], unreadable_share: float, *, is_needed: bool
) -> LedgerRow:
    cells = tuple(_cell(of, unreadable_share) for of in each)
    chance = chance_somewhere(each, unreadable_share)
    return LedgerRow(
        name=name,
        is_needed=is_needed,
        cells=cells,
        reading=_over_all(cells, chance),
        chance=chance,
        best=_best(cells),
    )


def _cell(of: SiteEvidence, unreadable_share: float) -> Cell:
    chance = readable_chance(of, unreadable_share)
    overlap = of.overlap_mm if of.overlap_mm == of.overlap_mm else None
    return Cell(reading=_reading(of.shown, chance), chance=chance, overlap_mm=overlap)


def _reading(shown: Shown, chance: float | None) -> Reading:
    if chance is None:
        return Reading.NOT_MARKED if shown is Shown.NOT_MARKED else Reading.NOT_TAKEN
    if shown is Shown.OFF:
        return Reading.OFF
    if shown is Shown.COVERED:
        return Reading.HIDDEN
    return _by_chance(chance) or Reading.HIDDEN


def _by_chance(chance: float) -> Reading | None:
    if chance >= SURE:
        return Reading.READABLE
    return Reading.DOUBTFUL if chance > 1.0 - SURE else None


def _over_all(cells: Sequence[Cell], chance: float) -> Reading:
    rest = [cell.reading for cell in cells if cell.reading not in BEST_FIRST[:2]]
    return _by_chance(chance) or min(rest, key=BEST_FIRST.index, default=Reading.NOT_TAKEN)


def _best(cells: Sequence[Cell]) -> int | None:
    """The likeliest; among equals the least overlap, then the ledger's order."""
    shown = [
        (-cell.chance, cell.overlap_mm or 0.0, number)
        for number, cell in enumerate(cells)
        if cell.chance and cell.reading in BEST_FIRST[:2]
    ]
    return min(shown)[2] if shown else None


__all__ = [
    "SURE",
    "UNREAD",
    "Cell",
    "Ledger",
    "LedgerRow",
    "Reading",
    "TeethDisagreeError",
    "ledger",
]
