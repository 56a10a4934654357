"""What stands in a column: shares of its cells that can be read as one thing or another."""

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from bitewright.sheets.cells import Cell, CellDay, cell_text, plain
from bitewright.sheets.dates import looks_like_days, number_of_day, parts_of
from bitewright.sheets.grades import GradeMeanings, grade_meanings, grade_word, is_gap_among
from bitewright.sheets.number_scales import most_on_scale
from bitewright.sheets.takes import grades_in, is_mark_of_takes
from bitewright.sheets.view_words import is_region_or_side, teeth_in, view_in
from bitewright.sheets.vocabulary import heading_words, lowest, meanings
from bitewright.sheets.weekdays import weekdays_of
from bitewright.sheets.word_meanings import (
    decision_word,
    denied_decision,
    faults_in,
    flag,
    is_nothing,
    is_own_code,
    kind_word,
    looks_like_name,
    number_in,
    try_of,
)

MOST_WORDS = 2000
"""Distinct cells that are looked at; the others are taken to be alike. Our choice."""
MOSTLY = 0.85
AGAIN, MOST_MEANT, LONGEST_WORD = 2, 8, 25
"""How often a word stands there at least, how many of them, and how long, where few words mean
something. Our choice."""
CLOCK = re.compile(
    r"(?:[01]?\d|2[0-3])(?:[:h][0-5]\d(?::[0-5]\d)?\s*(?:[aApP]\.?[mM]\.?|Uhr|h)?|[.]?[0-5]?\d?\s*(?:[aApP]\.?[mM]\.?|Uhr))"
)
PAIRS = {pair: frozenset(pair) for pair in ("di", "dg", "de", "ds", "lr", "hv", "lp", "bj", "ov")}
"""Letters that are right and left in one language or another."""
STROKES, SELDOM = frozenset({"/", "\\", "|"}), 0.5
"""Strokes that mark a row in a column filled in fewer rows than this share. Our choice."""
CODE_NUMBERS = re.compile(r"\d{1,2}(?:\s*[|,;/+&.-]\s*\d{1,2}|\s+\d{1,2}){0,4}")
MOST_NUMBERED = 20
"""Numbers that a list of faults has at most. Our choice."""
MARKS = frozenset({"x", "xx", "v", "1", "yes", "y", "ja", "j", "oui", "o", "si", "s", "true"})


@dataclass(frozen=True)
class ColumnFacts:
    """A column.

    Parameters
    ----------
    heading : str
    cells : sequence of Cell
        Those that are not empty.
    rows : int
        Rows of the table.
    legend : mapping of plain word to fault
        What the sheet itself says that codes stand for.
    graded, decided, viewed : frozenset of plain word
        Codes that the sheet itself explains as grades, as decisions, and as views.
    """

    heading: str
    cells: Sequence[Cell]
    rows: int
    legend: Mapping[str, str] = field(default_factory=dict)
    graded: frozenset[str] = frozenset()
    decided: frozenset[str] = frozenset()
    viewed: frozenset[str] = frozenset()

    @cached_property
    def counts(self) -> Counter[str]:
        """How often each text stands there."""
        return Counter(map(cell_text, self.cells))

    @cached_property
    def _some(self) -> Mapping[str, int]:
        return dict(self.counts.most_common(MOST_WORDS))

    def share(self, fits: Callable[[str], bool]) -> float:
        """Share of the cells whose text fits."""
        total = sum(self._some.values())
        held = sum(count for text, count in self._some.items() if fits(text))
        return held / total if total else 0.0

    @cached_property
    def filled(self) -> float:
        """Share of the rows in which something stands."""
        return len(self.cells) / self.rows if self.rows else 0.0

    @cached_property
    def unlike(self) -> float:
        """Share of the cells that stand there once."""
        return len(self.counts) / len(self.cells) if self.cells else 0.0

    @cached_property
    def days(self) -> float:
        """Share that may be days."""
        return looks_like_days(self.cells[:MOST_WORDS])

    @cached_property
    def serials(self) -> float:
        """Share that may be days as a spreadsheet counts them, from 1982 to 2064."""
        return self.numbers_between(30_000, 60_000)

    @cached_property
    def own_days(self) -> float:
        """Share that the spreadsheet knew as days, or that hold a year."""
        some = self.cells[:MOST_WORDS]
        full = [
            isinstance(cell, CellDay)
            or ((found := parts_of(cell)) is not None and found.year is not None)
            for cell in some
        ]
        return sum(full) / len(full) if full else 0.0

    @cached_property
    def days_of_month(self) -> float:
        """Share that may be the day of a month, its weekday before it or not."""
        return self.share(lambda text: 1 <= (number_of_day(text) or 0) <= 31)

    @cached_property
    def clocks(self) -> float:
        """Share that is a time of day."""
        return self.share(lambda text: CLOCK.fullmatch(text) is not None)

    @cached_property
    def tries(self) -> float:
        """Share that says which try a film was: "1." and "2.", "1e" and "om"; nought of one try."""
        told = {try_of(text) for text in self.counts}
        ordinal = self.share(lambda text: try_of(text) is not None)
        return ordinal if {"first", "second"} <= told else 0.0

    @cached_property
    def weekdays(self) -> bool:
        """Whether nearly all are weekdays."""
        return bool(weekdays_of(self.cells[:MOST_WORDS]))

    @cached_property
    def flags(self) -> float:
        """Share that says yes or no."""
        return self.share(lambda text: flag(text) is not None or is_mark_of_takes(text))

    @cached_property
    def marks(self) -> bool:
        """Whether nearly every cell is one mark, such as x, or the heading again."""
        own = plain(self.heading)
        return (
            bool(self.cells)
            and self.share(
                lambda text: (
                    flag(text) is not None
                    or plain(text) in MARKS
                    or plain(text) == own
                    or (text in STROKES and self.filled < SELDOM)
                )
            )
            >= 0.95
        )

    @cached_property
    def marked(self) -> float:
        """Share of the rows that a mark, or a yes, stands in."""
        return self.filled * (1.0 - self.share(lambda text: flag(text) is False))

    @cached_property
    def has_no(self) -> bool:
        """Whether some cells say no, so that each one is filled and few say yes."""
        return self.share(lambda text: flag(text) is False) > 0

    @cached_property
    def decisions(self) -> float:
        """Share that is a decision in words."""
        return self.share(
            lambda text: (
                plain(text) in self.decided
                or (decision_word(text) or denied_decision(text)) is not None
            )
        )

    @cached_property
    def kinds(self) -> float:
        """Share that is a sort of exposure."""
        return self.share(lambda text: kind_word(text) is not None)

    @cached_property
    def views(self) -> float:
        """Share that names a view by itself."""
        return self.share(lambda text: view_in(text) is not None)

    @cached_property
    def sides(self) -> float:
        """Share that is a side and nothing else."""
        known = meanings("sides").keys() | (PAIRS.get(self._letters, frozenset()))
        return self.share(lambda text: plain(text) in known)

    @property
    def _letters(self) -> str:
        """The two single letters that nearly all cells are, in order; else none."""
        often = Counter(plain(text) for text in self.counts.elements()).most_common(2)
        return "".join(sorted(word for word, _ in often if len(word) == 1))

    @cached_property
    def regions(self) -> float:
        """Share that is a region and nothing else."""
        known = meanings("regions")
        return self.share(lambda text: plain(text) in known)

    @cached_property
    def places(self) -> float:
        """Share that is a side, a region or teeth."""
        return self.share(lambda text: bool(teeth_in(text)) or is_region_or_side(text))

    @cached_property
    def receptors(self) -> float:
        """Share that names a sort of receptor."""
        known = heading_words()["receptor"]
        return self.share(lambda text: any(word in known for word in plain(text).split()))

    @cached_property
    def teeth(self) -> float:
        """Share that names teeth."""
        return self.share(lambda text: bool(teeth_in(text)))

    @cached_property
    def faults(self) -> float:
        """Share that names a fault; those that say there is none do not count."""
        said = {text: count for text, count in self._some.items() if not is_nothing(text)}
        held = sum(count for text, count in said.items() if faults_in(text, self.legend).faults)
        return held / sum(said.values()) if said else 0.0

    @cached_property
    def _grades(self) -> GradeMeanings | None:
        texts = (each for each in self.counts.elements() if not is_gap_among(each, self.counts))
        return grade_meanings(each for text in texts for each in of_each(text))

    @cached_property
    def are_grades(self) -> bool:
        """Whether its cells are grades."""
        if self.explained > MOSTLY and self.distinct > 1:
            return True
        return self._grades is not None and bool(self._grades.ratings)

    @cached_property
    def explained(self) -> float:
        """Share that the sheet itself explains as grades."""
        return self.share(
            lambda text: all(plain(each) in self.graded for each in grades_in(text) or (text,))
        )

    @cached_property
    def is_legend(self) -> bool:
        """Whether it explains codes, each once, and tells of no film: "OV overlapped contacts"."""
        held = [plain(text).split() for text in self.counts]
        told = sum(len(words) > 1 and words[0] in self.legend for words in held)
        return self.unlike == 1.0 and told > 1 and told >= SELDOM * len(held)

    @cached_property
    def in_heading(self) -> float:
        """Share that is one of the words that its heading is made of, as under "OK/redo"."""
        words = {word for piece in lowest(self.heading).split("/") if (word := plain(piece))}
        there = words & {plain(text) for text in self.counts}
        return self.share(lambda text: plain(text) in words) if len(there) > 1 else 0.0

    @cached_property
    def told_decided(self) -> float:
        """Share that the sheet itself explains as decisions; nought where all are known anyhow."""
        told = [text for text in self.counts if plain(text) in self.decided]
        if all(decision_word(text) is not None for text in told):
            return 0.0
        return self.share(lambda text: plain(text) in self.decided)

    @cached_property
    def told_views(self) -> float:
        """Share that the sheet itself explains as views."""
        return self.share(lambda text: plain(text) in self.viewed)

    @cached_property
    def grades(self) -> float:
        """Share that is a grade; nought where there are not two of them."""
        known = self._grades.ratings if self._grades is not None else {}
        if len(known) < FEWEST_GRADES:
            return 0.0
        return self.share(lambda text: all(grade_word(each) in known for each in of_each(text)))

    @cached_property
    def is_scale(self) -> bool:
        """Whether its cells are numbers of a long scale, such as per cent."""
        return most_on_scale(self.counts.elements()) is not None

    @cached_property
    def few_words(self) -> float:
        """Share that is one of a few short words, each of them there several times."""
        often = {text for text, count in self._some.items() if count >= AGAIN}
        is_few = 1 < len(often) <= MOST_MEANT and all(len(text) <= LONGEST_WORD for text in often)
        return self.share(lambda text: text in often) if is_few else 0.0

    @cached_property
    def are_numbered(self) -> bool:
        """Whether a few small numbers come again and again, one or several in a cell: of a list."""
        pieces = Counter(piece for text in self.counts.elements() for piece in text.split())
        told = [CODE_NUMBERS.fullmatch(text) is not None for text in self.counts.elements()]
        numbers = {each for text in self.counts for each in re.findall(r"\d+", text)}
        few = 1 < len(numbers) <= MOST_NUMBERED and pieces.total() > 2 * len(numbers)
        filled = self.filled * (1.0 - self.share(lambda text: text == "0"))
        return few and filled < MOSTLY and sum(told) > 0.9 * len(told)

    @cached_property
    def distinct(self) -> int:
        """How many different words there are, whatever their capitals."""
        return len({plain(text) for text in self.counts})

    @cached_property
    def names(self) -> float:
        """Share that may be names of people."""
        return self.share(looks_like_name)

    @cached_property
    def codes(self) -> float:
        """Share that is a code that names nobody."""
        return self.share(is_own_code)

    def numbers_between(self, least: float, most: float) -> float:
        """Share that is a number, with its unit or not, within a range."""

        def fits(text: str) -> bool:
            found = number_in(text)
            return found is not None and least <= found[0] <= most

        return self.share(fits)

    @cached_property
    def length(self) -> float:
        """Letters in a cell, on average."""
        return sum(len(text) * count for text, count in self._some.items()) / max(
            1, sum(self._some.values())
        )

    @cached_property
    def most(self) -> float:
        """The largest number in it; nought where there is none."""
        found = [number_in(text) for text in self._some]
        return max((each[0] for each in found if each is not None), default=0.0)


FEWEST_GRADES = 2
"""Grades from which a column is one of grades. Our choice."""
GRADES_OF_EACH = re.compile(r"\w(?:\s*[/+,]\s*\w){1,3}")


def of_each(text: str) -> list[str]:
    """The grades of several films told in one cell, such as "1/2"; else the text alone."""
    if GRADES_OF_EACH.fullmatch(text.strip()) is None:
        return [text]
    return re.split(r"\s*[/+,]\s*", text.strip())


__all__ = ["STROKES", "ColumnFacts", "of_each"]
