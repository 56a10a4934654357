"""Random sheets with what they hold: layouts, languages, habits, held-back words.

A sheet is drawn from one number. The films come first (`builders.messy_rows.films`), and the cells
and the expected exposures are both written from them.
"""

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from bitewright.sheets.cells import Cell, CellDay, Sheet, Workbook
from builders.messy_rows import BITEWINGS, Film, films
from trials import sheet_vocabularies as said

if TYPE_CHECKING:
    from collections.abc import Callable

LANGUAGES = tuple(said.HEADS)
EXTRA, SELDOM = 0.2, 0.25
"""Chance of each column beside the others, and of a row to have a remark or another reading."""
WRONG_VIEWS = ("??", "see notes", "x ?")
WRONG_DAYS = ("31/02/2025", "tomorrow", "0.0.2025")


@dataclass(slots=True, kw_only=True)
class RandomSheet:
    """A workbook, the exposures it tells of, and how it was drawn."""

    workbook: Workbook
    expected: list[dict[str, str]]
    traits: dict[str, str] = field(default_factory=dict)


class Drawing:
    """Draws one sheet.

    Parameters
    ----------
    seed : int
    odd : float
        Chance of each kind of word to be one of the practice alone.
    """

    def __init__(self, seed: int, odd: float = 0.15) -> None:
        self.rng = np.random.default_rng(90_000 + seed)
        self.odd = odd
        self.beside = np.random.default_rng(190_000 + seed)  # leaves the other draws as they were
        self.lang = self.one(LANGUAGES)
        self.traits: dict[str, str] = {"lang": self.lang}
        self.expected: list[dict[str, str]] = []
        days = (date(2025, 1, 7), date(2025, int(self.rng.integers(3, 12)), 20))
        people = tuple(str(each) for each in self.rng.permutation(said.PEOPLE)[:3])
        count = int(self.rng.integers(30, 70))
        views = BITEWINGS if self.maybe(0.7) else (*BITEWINGS, "periapical")
        self.films = films(500 + seed, count, people, *days, views=views)

    def maybe(self, chance: float) -> bool:
        return bool(self.rng.random() < chance)

    def one(self, among: Any) -> Any:  # noqa: ANN401  a cell, a word or several
        return among[int(self.rng.integers(len(among)))]

    def words(self, table: dict[str, list[Any]], trait: str) -> Any:  # noqa: ANN401  as `one`
        if "odd" in table and self.maybe(self.odd):
            self.traits[trait] = "odd"
            return self.one(table["odd"])
        return self.one(table[self.lang])

    def head(self, name: str) -> str:
        heads = said.HEADS[self.lang]
        if self.maybe(self.odd / 2):
            self.traits[f"head {name}"] = "odd"
            return f"{self.one(heads['odd'])}{int(self.rng.integers(9))}"
        return str(self.one(heads[name]))

    def sheet(self) -> RandomSheet:
        """The sheet."""
        self._habits()
        layout = self.traits["layout"] = self.one(
            (
                *("list", "list", "list", "list", "day lines", "person lines", "month tabs"),
                *("person tabs", "wide", "side by side", "stacked"),
            )
        )
        make = getattr(self, "_" + layout.replace(" ", "_"))
        sheets = make()
        name = self.one((said.TITLES[self.lang], "2025", "qa", "export"))
        return RandomSheet(
            workbook=Workbook(name=name, digest="0" * 64, sheets=tuple(sheets)),
            expected=self.expected,
            traits=self.traits,
        )

    # what is written in the cells

    def _habits(self) -> None:
        lang = self.lang
        self.sides = self.words(said.SIDES, "sides")
        self.regions = self.words(said.REGIONS, "regions")
        self.bitewing = self.one(said.BITEWINGS[lang])
        self.periapical = self.one(said.PERIAPICALS[lang])
        self.kept = self.words(said.KEPT, "kept")
        self.scheme, self.grades = self.one(
            [*said.GRADES, *(("own", each) for each in said.GRADE_WORDS[lang])] * 1
        )
        self.outcome = self.traits["outcome"] = self.one(
            ("grade", "grade", "decision", "grade and again", "grade and decision", "marks")
        )
        self.view_form = self.traits["view"] = self.one(
            ("one cell", "one cell", "apart", "apart with type", "teeth", "glued")
        )
        odd_view = {"sides", "regions"} & {k for k, v in self.traits.items() if v == "odd"}
        if odd_view and self.view_form == "teeth":
            self.view_form = self.traits["view"] = "one cell"
        self.day_form = self.traits["day form"] = self.one(
            ("iso", "dots", "slashes", "cell", "named", "no year", "weekday", "serial", "american")
        )
        self.fault_form = self.traits["faults"] = self.one(("cell", "cell", "ticks", "none"))
        odd_faults = self.maybe(self.odd)
        self.fault_words = {
            name: self.one(said.FAULTS["odd" if odd_faults else lang][name])
            for name in said.FAULTS[lang]
        }
        if odd_faults:
            self.traits["fault words"] = "odd"
        self.legend = odd_faults and self.maybe(0.4)
        self.extras = [
            name
            for name in ("level", "remark", "first reading")
            if self.beside.random() < EXTRA and ("grade" in self.outcome or "read" not in name)
        ]
        self.traits |= dict.fromkeys(self.extras, "there")
        self.day_place = self.traits["day place"] = self.one(("each", "each", "once", "ditto"))

    def day_cell(self, day: date) -> Cell:
        months = said.MONTHS[self.lang]
        weekdays = {
            "en": "Mon Tue Wed Thu Fri Sat Sun",
            "de": "Mo Di Mi Do Fr Sa So",
            "fr": "lun mar mer jeu ven sam dim",
            "es": "lun mar mié jue vie sáb dom",
            "it": "lun mar mer gio ven sab dom",
            "nl": "ma di wo do vr za zo",
            "sv": "mån tis ons tors fre lör sön",
            "pt": "seg ter qua qui sex sáb dom",
        }[self.lang].split()
        forms: dict[str, Cell] = {
            "iso": day.isoformat(),
            "dots": f"{day.day}.{day.month}.{day.year % 100:02d}",
            "slashes": f"{day.day:02d}/{day.month:02d}/{day.year}",
            "cell": CellDay(day.year, day.month, day.day),
            "named": f"{day.day} {months[day.month - 1]} {day.year}",
            "no year": f"{day.day}.{day.month}.",
            "weekday": f"{weekdays[day.weekday()]} {day.day}/{day.month}/{day.year}",
            "serial": float((day - date(1899, 12, 30)).days),
            "american": f"{day.month}/{day.day}/{day.year}",
        }
        return forms[self.day_form]

    def side_of(self, film: Film) -> str:
        return "" if film.view == "periapical" else self.sides[film.side == "left"]

    def region_of(self, film: Film) -> str:
        return (
            ""
            if film.view == "periapical"
            else self.regions[
                film.view.endswith("molar") * 0 + (film.view.split("-")[1] == "molar")
            ]
        )

    def view_cells(self, film: Film) -> list[Cell]:
        is_pa = film.view == "periapical"
        if self.view_form == "apart":
            return [self.side_of(film) or self.periapical, self.region_of(film)]
        if self.view_form == "apart with type":
            kind = self.periapical if is_pa else self.bitewing
            return [kind, self.side_of(film), self.region_of(film)]
        if is_pa:
            return [f"{self.periapical} {film.pair[:2]}" if self.maybe(0.5) else self.periapical]
        if self.view_form == "teeth":
            teeth = {
                "right-premolar": "14-15",
                "right-molar": "16-17",
                "left-premolar": "24-25",
                "left-molar": "36-37",
            }[film.view]
            return [f"{self.bitewing} {teeth}"]
        glue = (
            "" if self.view_form == "glued" and len(self.sides[0] + self.regions[0]) <= 4 else " "
        )
        return [f"{self.bitewing} {self.side_of(film)}{glue}{self.region_of(film)}"]

    def view_heads(self) -> list[str]:
        if self.view_form == "apart":
            return [self.head("side"), self.head("region")]
        if self.view_form == "apart with type":
            return [self.head("view"), self.head("side"), self.head("region")]
        return [self.head("view")]

    def level(self, film: Film) -> int:
        return min(2, film.level)

    def grade(self, film: Film) -> str:
        grades = self.grades
        return str(
            grades[0]
            if film.level == 0
            else grades[-1]
            if film.level == 2
            else grades[min(1, len(grades) - 2)]
            if len(grades) > 2
            else grades[0]
        )

    def _remark(self) -> str:
        """Something that is no fault, in some of the rows."""
        words = said.BESIDE[self.lang]["remarks"]
        return str(self.beside.choice(words)) if self.beside.random() < SELDOM else ""

    def _first_reading(self, film: Film) -> str:
        """Another grade than the one that counts, in some of the rows."""
        differs = self.beside.random() < SELDOM
        return str(self.beside.choice(self.grades)) if differs else self.grade(film)

    def outcome_heads(self) -> list[str]:
        if self.outcome == "grade":
            return [self.head("grade")]
        if self.outcome == "decision":
            return [self.head("decision")]
        if self.outcome == "grade and again":
            return [self.head("grade"), self.one(said.HEADS[self.lang]["again"])]
        if self.outcome == "grade and decision":
            return [self.head("grade"), self.head("decision")]
        return [str(self.kept[0]), str(self.kept[1])]

    def outcome_cells(self, film: Film) -> list[Cell]:
        kept, lost, again = self.kept
        decided = kept if film.level < 2 else again if film.again else lost
        if self.outcome == "grade":
            return [self.grade(film)]
        if self.outcome == "decision":
            return [decided]
        if self.outcome == "grade and again":
            return [self.grade(film), "x" if film.again else ""]
        if self.outcome == "grade and decision":
            return [self.grade(film), decided]
        return ["x", ""] if film.level < 2 else ["", "x"]

    def fault_heads(self) -> list[str]:
        if self.fault_form == "cell":
            return [self.head("faults")]
        return list(self.fault_words.values()) if self.fault_form == "ticks" else []

    def fault_cells(self, film: Film) -> list[Cell]:
        if self.fault_form == "cell":
            joined = self.one((", ", " + ", "; ")).join(self.fault_words[f] for f in film.faults)
            return [joined]
        if self.fault_form == "ticks":
            return ["x" if name in film.faults else "" for name in self.fault_words]
        return []

    # what it tells

    def tell(self, film: Film, tab: str, line: int) -> None:
        row = {
            "tab": tab,
            "row": str(line),
            "day": film.day.isoformat(),
            "view": film.view,
            "operator": film.person,
            "case": film.chart,
            "decision": "accepted" if film.level < 2 else "rejected",
            "faults": "|".join(film.faults) if self.fault_form != "none" else "",
        }
        if "grade" in self.outcome:
            grade = self.grade(film)
            row["rating"] = f"{self.scheme}:{grade}" if self.scheme != "own" else f"own:{grade}"
        self.expected.append(row)

    # layouts

    def _columns(self, *, day: bool = True, person: bool = True) -> list[tuple[str, list[str]]]:
        parts = [("chart", [self.head("chart")])]
        if day:
            parts.insert(0, ("day", [self.head("day")]))
        if person:
            parts.append(("person", [self.head("person")]))
        parts += [("view", self.view_heads()), ("outcome", self.outcome_heads())]
        if self.fault_form != "none":
            parts.append(("faults", self.fault_heads()))
        for extra in ("receptor", "room"):
            if self.maybe(0.35):
                parts.append((extra, [self.one(said.HEADS[self.lang][extra])]))
        if self.maybe(0.4):
            first, rest = parts[0], parts[1:]
            parts = [first, *(rest[int(at)] for at in self.rng.permutation(len(rest)))]
            self.traits["order"] = "mixed"
        heads = said.BESIDE[self.lang]
        return parts + [(name, [str(self.beside.choice(heads[name]))]) for name in self.extras]

    def _cells(self, film: Film, parts: list[tuple[str, list[str]]], day: Cell) -> list[Cell]:
        cells: list[Cell] = []
        for name, _ in parts:
            made: dict[str, Callable[[], list[Cell]]] = {
                "day": lambda: [day],
                "chart": lambda: [film.chart],
                "person": lambda: [film.person],
                "view": lambda: self.view_cells(film),
                "outcome": lambda: self.outcome_cells(film),
                "faults": lambda: self.fault_cells(film),
                "receptor": lambda: [self.one(("2", "1"))],
                "room": lambda: ["1" if film.pick % 2 else "2"],
                "level": lambda: [f"D{3 + len(film.person) % 2}"],
                "remark": lambda: [self._remark()],
                "first reading": lambda: [self._first_reading(film)],
            }
            cells += made[name]()
        return cells

    def _table(
        self,
        rows: list[list[Cell]],
        made: list[Film],
        tab: str,
        parts: list[tuple[str, list[str]]],
        *,
        before: "dict[int, list[Cell]] | None" = None,
    ) -> None:
        """Head and rows, put behind those that are there."""
        head: list[Cell] = [each for _, heads in parts for each in heads]
        rows.append(head)
        again = self.maybe(0.15)
        last: date | None = None
        for at, film in enumerate(made):
            if before and at in before:
                rows.append(before[at])
                last = None
            if again and at and at % 23 == 0:
                rows.append(list(head))
            if self.blank and at and at % 11 == 0:
                rows.append([])
            day: Cell = self.day_cell(film.day)
            if film.day == last and self.day_place != "each":
                day = "" if self.day_place == "once" else '"'
            last = film.day
            cells = self._cells(film, parts, day)
            if self.maybe(self.bad):
                self._spoil(cells, parts)
            else:
                self.tell(film, tab, len(rows) + 1)
            rows.append(cells)
        if self.maybe(0.3):
            rows.append([said.TOTALS[self.lang], float(len(made))])

    def _spoil(self, cells: list[Cell], parts: list[tuple[str, list[str]]]) -> None:
        """Put something wrong into a row, which then holds no exposure."""
        at = 0
        for name, heads in parts:
            if name == "view":
                for place in range(len(heads)):
                    cells[at + place] = ""
                cells[at] = self.one(WRONG_VIEWS)
            at += len(heads)

    def _start(self) -> list[list[Cell]]:
        self.blank, self.bad = self.maybe(0.2), self.one((0.0, 0.04))
        rows: list[list[Cell]] = []
        if self.maybe(0.5) or self.day_form == "no year" or self.view_form == "apart":
            rows += [[f"{said.TITLES[self.lang]} {self.bitewing} 2025"], []]
        if self.legend:
            rows += [
                [f"{word} = {name.replace('-', ' ')}"] for name, word in self.fault_words.items()
            ]
            rows.append([])
        return rows

    def _sheet(self, tab: str, rows: list[list[Cell]]) -> Sheet:
        return Sheet(name=tab, rows=rows, lines=list(range(1, len(rows) + 1)))

    def _list(self) -> list[Sheet]:
        rows = self._start()
        self._table(rows, self.films, "", self._columns())
        return [self._sheet("", rows)]

    def _day_lines(self) -> list[Sheet]:
        rows = self._start()
        before: dict[int, list[Cell]] = {}
        last = None
        for at, film in enumerate(self.films):
            if film.day != last:
                before[at] = [self.day_cell(film.day)]
            last = film.day
        self._table(rows, self.films, "", self._columns(day=False), before=before)
        return [self._sheet("", rows)]

    def _person_lines(self) -> list[Sheet]:
        made = sorted(self.films, key=lambda film: film.person)
        rows, last = self._start(), ""
        before: dict[int, list[Cell]] = {}
        for at, film in enumerate(made):
            if film.person != last:
                before[at] = [film.person]
            last = film.person
        self._table(rows, made, "", self._columns(person=False), before=before)
        return [self._sheet("", rows)]

    def _stacked(self) -> list[Sheet]:
        rows = self._start()
        for person in dict.fromkeys(film.person for film in self.films):
            label = self.one(said.HEADS[self.lang]["person"])
            rows += [[], [f"{label}: {person}"]]
            parts = self._columns(person=False)
            if not hasattr(self, "_parts"):
                self._parts = parts
            made = [film for film in self.films if film.person == person]
            self._table(rows, made, "", self._parts)
        return [self._sheet("", rows)]

    def _month_tabs(self) -> list[Sheet]:
        sheets, parts = [], self._columns()
        for month in dict.fromkeys(film.day.month for film in self.films):
            rows = self._start()
            tab = f"{said.MONTHS[self.lang][month - 1]} 2025"
            made = [film for film in self.films if film.day.month == month]
            self._table(rows, made, tab, parts)
            sheets.append(self._sheet(tab, rows))
        return sheets

    def _person_tabs(self) -> list[Sheet]:
        sheets, parts = [], self._columns(person=False)
        for person in dict.fromkeys(film.person for film in self.films):
            rows = self._start()
            made = [film for film in self.films if film.person == person]
            self._table(rows, made, person, parts)
            sheets.append(self._sheet(person, rows))
        return sheets

    def _wide(self) -> list[Sheet]:
        """A row a patient and day, a column for each view with its grade or decision."""
        rows = self._start()
        self.outcome = self.traits["outcome"] = self.one(("grade", "decision"))
        self.fault_form = self.traits["faults"] = "none"
        made = [film for film in self.films if film.view != "periapical" and not film.retake]
        heads = {
            view: f"{self.sides['left' in view]} {self.regions[view.split('-')[1] == 'molar']}"
            for view in BITEWINGS
        }
        rows.append([self.head("day"), self.head("chart"), self.head("person"), *heads.values()])
        visits: dict[tuple[date, str], dict[str, Film]] = {}
        for film in made:
            visits.setdefault((film.day, film.chart), {})[film.view] = film
        for (day, chart), taken in visits.items():
            person = next(iter(taken.values())).person
            line = len(rows) + 1
            cells: list[Cell] = [self.day_cell(day), chart, person]
            for view in BITEWINGS:
                cells.append(self.outcome_cells(taken[view])[0] if view in taken else "")
                if view in taken:
                    self.tell(taken[view], "", line)
            rows.append(cells)
        if self.bitewing and not any(rows[0]):
            rows.insert(0, [])
        return [self._sheet("", rows)]

    def _side_by_side(self) -> list[Sheet]:
        rows: list[list[Cell]] = []
        self.blank, self.bad = False, 0.0
        rows += [[f"{said.TITLES[self.lang]} {self.bitewing} 2025"], []]
        parts = self._columns()
        half = (len(self.films) + 1) // 2
        head = [each for _, heads in parts for each in heads]
        rows.append([*head, "", *head])
        self.day_place = self.traits["day place"] = "each"
        for at in range(half):
            line = len(rows) + 1
            left = self.films[at]
            cells = self._cells(left, parts, self.day_cell(left.day))
            self.tell(left, "", line)
            if half + at < len(self.films):
                right = self.films[half + at]
                cells = [*cells, "", *self._cells(right, parts, self.day_cell(right.day))]
                self.tell(right, "", line)
            rows.append(cells)
        return [self._sheet("", rows)]


def random_sheet(seed: int, odd: float = 0.15) -> RandomSheet:
    """The sheet of one number."""
    return Drawing(seed, odd).sheet()


__all__ = ["RandomSheet", "random_sheet"]
