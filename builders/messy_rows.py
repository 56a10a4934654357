"""What a messy sheet is made of: invented films, lines that tell of them, the answer key."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from typing import Any

import numpy as np

BITEWINGS = ("right-premolar", "right-molar", "left-premolar", "left-molar")
SIDES = ("right-premolar", "left-premolar")
"""What a practice takes that makes one bitewing a side."""

PANORAMIC = "panoramic"
"""No view of the log: what is exposed from outside the mouth."""

FAULTS = ("overlap", "cone-cut", "receptor-placement", "tilted", "under-exposed", "movement")
PAIRS = {"right": ("14/15", "45/46", "16/17"), "left": ("24/25", "35/36", "26/27")}
FIELDS = ("day", "operator", "view", "decision", "rating", "kind", "faults", "case")

Says = dict[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class Film:
    """One invented film; level 0 is good, 1 fair, 2 poor."""

    day: date
    clock: time
    person: str
    chart: str
    view: str
    level: int
    faults: tuple[str, ...]
    retake: bool
    again: bool
    pick: int

    @property
    def side(self) -> str:
        """Right or left; right where the view has none."""
        return "left" if self.view.startswith("left") else "right"

    @property
    def pair(self) -> str:
        """Two neighbours on the film's side."""
        return PAIRS[self.side][self.pick % 3]


@dataclass(eq=False, slots=True)
class Line:
    """A row of a sheet: its cells, the exposures it tells of, and what is wrong with it."""

    cells: list[Any]
    says: list[Says] = field(default_factory=list)
    film: Film | None = None
    bad: str = ""
    left_out: str = ""
    twin: "Line | None" = None


@dataclass(kw_only=True, slots=True)
class Tab:
    """One tab of a workbook, or all of a text file."""

    lines: list[Line]
    title: str = ""
    merged: tuple[str, ...] = ()
    hidden: tuple[str, ...] = ()


@dataclass(kw_only=True, slots=True)
class Sheet:
    """A file that a practice keeps, with its answer key."""

    name: str
    says: str
    tabs: list[Tab]
    answers: dict[str, str] = field(default_factory=dict)
    also_right: list[str] = field(default_factory=list)
    encoding: str = "utf-8"
    separator: str = ","
    refused: str = ""


def films(
    number: int,
    count: int,
    people: tuple[str, ...],
    first: date,
    last: date,
    views: tuple[str, ...] = BITEWINGS,
) -> list[Film]:
    """About so many films, by day and hour, with the retakes that followed poor ones."""
    rng = np.random.default_rng(number)
    patients = max(1, round(count / min(2.4, 0.6 * len(views))))
    days = sorted(int(day) for day in rng.integers(0, (last - first).days + 1, patients))
    made: list[Film] = []
    for at, after in enumerate(days):
        day = first + timedelta(days=after)
        day -= timedelta(days=max(0, day.weekday() - 4))  # nobody works at the weekend
        if day.month == 12 and 24 <= day.day <= 26:
            day -= timedelta(days=7)
        day = max(day, first)
        shared = {
            "day": day,
            "person": people[int(rng.integers(len(people)))],
            "chart": str(1000 * number + 7 * at + 113),
        }
        shown = rng.permutation(len(views))[: int(rng.integers(1, min(len(views), 4) + 1))]
        minute = 8 * 60 + 30 + int(rng.integers(0, 60))
        for view in sorted(shown):
            minute += 2
            poor = one_film(rng, shared | {"view": views[view], "clock": clock_of(minute)})
            made.append(poor)
            if poor.again:
                minute += 3
                made.append(second_film(rng, poor, clock_of(minute)))
    return sorted(made, key=lambda film: film.day)


def one_film(rng: np.random.Generator, shared: dict[str, Any]) -> Film:
    """A first film of a view."""
    level = int(rng.choice(3, p=[0.62, 0.2, 0.18]))
    some = int(rng.integers(1, 3)) if level == 2 else int(level and rng.random() < 0.7)
    chosen = sorted(int(each) for each in rng.permutation(len(FAULTS))[:some])
    return Film(
        level=level,
        faults=tuple(FAULTS[each] for each in chosen),
        retake=False,
        again=bool(level == 2 and rng.random() < 0.85),
        pick=int(rng.integers(60)),
        **shared,
    )


def second_film(rng: np.random.Generator, poor: Film, clock: time) -> Film:
    """The film that repeats a poor one."""
    return Film(
        day=poor.day,
        clock=clock,
        person=poor.person,
        chart=poor.chart,
        view=poor.view,
        level=int(rng.random() < 0.3),
        faults=(),
        retake=True,
        again=False,
        pick=int(rng.integers(60)),
    )


def clock_of(minute: int) -> time:
    """The time of day so many minutes after midnight."""
    return time(minute // 60, minute % 60)


def told(film: Film, *fields: str, **more: str) -> Says:
    """What a sheet with these fields says of a film; more: fields in other words."""
    everything = {
        "day": film.day.isoformat(),
        "operator": film.person,
        "view": film.view,
        "kind": "retake" if film.retake else "exposure",
        "faults": "|".join(film.faults),
        "case": film.chart,
    }
    wanted = {"day", "operator", "view", *fields}
    return {name: text for name, text in everything.items() if name in wanted} | more


def kept(accepted: bool) -> str:  # noqa: FBT001 - one word for a yes and one for a no
    """The log's word for a decision."""
    return "accepted" if accepted else "rejected"


def rows(
    made: Iterable[Film], cells: Callable[[Film], list[Any]], says: Callable[[Film], Says]
) -> list[Line]:
    """A line for each film; those the log has no view for are left out."""
    lines = []
    for film in made:
        if film.view == PANORAMIC:
            why = "a panoramic film is no intraoral exposure: the log has no view for it"
            lines.append(Line(cells(film), film=film, left_out=why))
        else:
            lines.append(Line(cells(film), [says(film)], film))
    return lines


def spoil(lines: list[Line], at: int, column: int, value: object, why: str) -> None:
    """Put something wrong into one cell of a line that was sound."""
    line = sound(lines, at)
    line.cells[column] = value
    line.says, line.bad = [], why


def double(lines: list[Line], at: int) -> None:
    """Write a sound line a second time below itself."""
    line = sound(lines, at)
    again = Line(list(line.cells), film=line.film, bad="the same as row {}", twin=line)
    lines.insert(at + 1, again)


def sound(lines: list[Line], at: int) -> Line:
    """A line that tells of an exposure; stops where it does not."""
    if not lines[at].says:
        message = f"line {at} tells of no exposure: spoil another"
        raise ValueError(message)
    return lines[at]


def film_of(line: Line) -> Film:
    """The film that a line was written from; stops where there is none."""
    if line.film is None:
        message = f"no film stands behind {line.cells}"
        raise ValueError(message)
    return line.film


def remark(lines: list[Line], at: int, column: int, text: str) -> None:
    """Put a comment where a row of data should be."""
    cells: list[Any] = [""] * len(lines[at].cells)
    cells[column] = text
    lines.insert(at, Line(cells, film=lines[at].film, bad="a comment instead of data"))


def plain(*rows_of_cells: list[Any]) -> list[Line]:
    """Lines that tell of no exposure: titles, heads, blanks, totals."""
    return [Line(cells) for cells in rows_of_cells]


def heading(text: str) -> list[Line]:
    """A head with bars between its cells."""
    return plain(list(text.split("|")))


def months(
    lines: list[Line], after: Callable[[int, list[Line]], list[list[Any]]]
) -> list[tuple[int, list[Line]]]:
    """The lines month by month, each followed by what stands below a month."""
    found: dict[int, list[Line]] = {}
    for line in lines:
        found.setdefault(film_of(line).day.month, []).append(line)
    return [(month, part + plain(*after(month, part))) for month, part in found.items()]


def flat(parts: list[tuple[int, list[Line]]]) -> list[Line]:
    """All months in one."""
    return [line for _, part in parts for line in part]


def phrase(film: Film, words: dict[str, tuple[str, ...]], between: str = ", ") -> str:
    """A film's faults in a practice's words."""
    said = [words[fault][film.pick % len(words[fault])] for fault in film.faults]
    return between.join(said).replace("{pair}", film.pair)


def spelt(film: Film, words: dict[str, tuple[str, ...]]) -> str:
    """A film's view in one of a practice's spellings."""
    return words[film.view][film.pick % len(words[film.view])]


def key_of(sheet: Sheet) -> dict[str, Any]:
    """The answer key as it is written down."""
    bad, left_out, exposures = [], [], 0
    several = len(sheet.tabs) > 1
    places = {line: row for tab in sheet.tabs for row, line in enumerate(tab.lines, start=1)}
    for tab in sheet.tabs:
        for row, line in enumerate(tab.lines, start=1):
            exposures += len(line.says)
            place = ({"tab": tab.title} if several else {}) | {"row": row}
            if line.bad:
                first = places[line.twin] if line.twin else ""
                bad.append(place | {"why": line.bad.format(first)})
            if line.left_out:
                left_out.append(place | {"why": line.left_out})
    head = {"file": sheet.name, "says": sheet.says, "exposures": exposures, "bad_rows": len(bad)}
    if sheet.refused:
        head["refused"] = sheet.refused
    return head | {
        "also_right": sheet.also_right,
        "answers": sheet.answers,
        "bad": bad,
        "left_out": left_out,
    }


def expected_of(sheet: Sheet) -> list[list[str]]:
    """The exposures with their places, persons and cases by order of appearance."""
    found = [
        ([tab.title] if len(sheet.tabs) > 1 else []) + [str(row)]
        for tab in sheet.tabs
        for row, line in enumerate(tab.lines, start=1)
        for _ in line.says
    ]
    said = [says for tab in sheet.tabs for line in tab.lines for says in line.says]
    more = sorted({name for says in said for name in says} - set(FIELDS))
    fields = [*FIELDS, *more]
    codes = {
        name: {each: f"{word}-{at}" for at, each in enumerate(first_seen(said, name), start=1)}
        for name, word in (("operator", "person"), ("supervisor", "teacher"), ("case", "case"))
    }
    head = (["tab"] if len(sheet.tabs) > 1 else []) + ["row", *fields]
    table = [head]
    for place, says in zip(found, said, strict=True):
        coded = {name: codes.get(name, {}).get(text, text) for name, text in says.items()}
        table.append(place + [coded.get(name, "") for name in fields])
    return table


def first_seen(said: list[Says], name: str) -> list[str]:
    """What stands in a field, each once, in order."""
    return list(dict.fromkeys(says[name] for says in said if says.get(name)))
