"""Explained films come back from their lines, and the figures we quote are of the code as it is."""

import io
import json
import re
import tomllib
from dataclasses import asdict, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from bitewright.explanation.correction import CauseName, Need, Part, Verdict
from bitewright.explanation.known_accuracy import known_accuracy, view_kind
from bitewright.explanation.next_exposure import Course
from bitewright.quality.views import view, view_names
from builders.explain_accuracy import PAGE, RENEWED_BY, TABLE, case_of, trace
from trials.explained_films import (
    VIEWS,
    ExplainedFilm,
    Kind,
    append_films,
    cases,
    explained_film,
    left_to_do,
    read_films,
)
from trials.explained_tables import faults_table, told_table
from trials.next_film_tables import every_next_film_table, next_film_table
from trials.next_films import Readable, Way

WRITTEN = tomllib.loads(TABLE.read_text(encoding="utf-8"))
CHANGED = (
    "the code that explains films has changed since the run our figures are of, so what is quoted "
    f"of its accuracy may no longer be true: renew it as the docstrings of {RENEWED_BY} say"
)
OFF = 0.001
"""Degrees or millimetres by which another processor may differ. Our choice."""


@cache
def made(number: int, fault: str | None = None) -> ExplainedFilm:
    """A line without the work behind it."""
    return ExplainedFilm(
        run=1,
        number=number,
        kind=Kind.OUTLINES,
        fault=fault,
        view=VIEWS[number % 4],
        spread=1.0,
        missing=0.0,
        true=dict.fromkeys(Part, 3.0),
        error=dict.fromkeys(Part, -0.25),
        half=dict.fromkeys(Part, 1.0),
        covered=dict.fromkeys(Part, True),
        needs=dict.fromkeys(Part, Need.PERHAPS),
        verdict=Verdict.MOVE,
        first_cause=CauseName.TUBE_TOO_HIGH,
        alternative=None,
        doubted=1,
        moved="cusp",
        moved_named=True,
        moved_along=True,
        moved_foretold_mm=0.4,
        moved_at_best=0.7,
        marks=50,
        misfit=0.4,
        is_unlike=False,
        turned_deg=2.0,
        worst_error=None,
        before_mm=None,
        after_mm=None,
        course=Course.MOVED,
        readable={
            way: Readable(of_view=share, of_question=0.5 * share)
            for way, share in (
                (Way.SAME, 0.125),
                (Way.ADVISED, 0.5),
                (Way.FOLLOWED, 0.375),
                (Way.LEARNED, 0.25),
                (Way.ANEW, 0.25),
                (Way.KNOWN, 0.75),
            )
        },
    )


@pytest.mark.parametrize(
    "written",
    [
        pytest.param(entry, id=entry["view"], marks=[pytest.mark.slow] if place else [])
        for place, entry in enumerate(WRITTEN["first_films"])
    ],
)
def test_the_code_explains_the_first_films_of_the_run_as_it_did(written: dict[str, Any]) -> None:
    now = trace(explained_film(case_of(written)))
    for name in ("true", "error"):
        assert now.pop(name) == pytest.approx(written.pop(name), abs=OFF), CHANGED
    assert now.pop("misfit") == pytest.approx(written.pop("misfit"), abs=OFF), CHANGED
    assert now == written, CHANGED


def test_every_view_has_its_figures_and_a_film_to_tell_by() -> None:
    kinds = {view_kind(view(name).region) for name in VIEWS}
    assert {view_kind(view(name).region) for name in view_names()} == kinds
    assert {entry["view"] for entry in WRITTEN["first_films"]} == set(VIEWS)


@pytest.mark.parametrize("name", VIEWS)
def test_the_page_shows_the_figures_that_are_quoted(name: str) -> None:
    text = PAGE.read_text(encoding="utf-8").partition("## Real crowns")[2]
    found = known_accuracy(view(name).region, Part.SWING)
    assert found is not None
    kind = view_kind(view(name).region)
    (row,) = (line for line in text.splitlines() if line.startswith(f"| {kind} ({found.films})"))
    assert f"| swing | {found.median_error:.2f} |" in row
    assert row.endswith(f"| {found.share_held:.1%} |")


def test_what_is_short_of_hopes_is_as_the_tables_have_it() -> None:
    """Figures of another page, of one person's teeth, are held by a test on that person's films."""
    text = PAGE.read_text(encoding="utf-8")
    short, _, rest = text.partition("**What is short")[2].partition("## Outlines")
    written = [*text.partition("<!-- kinds")[2].split("\n\n")[1].split(), *rest.split()]
    tables = {cell.lstrip("+-") for cell in written}
    rows = [line for line in short.splitlines() if line.startswith("| ")][2:]
    found = [cells[3] for cells in (row.split("|") for row in rows) if ".md" not in cells[3]]
    figures = [figure for cell in found for figure in re.findall(r"\d+\.\d+%?", cell)]
    assert len(figures) > len(rows)
    assert not [figure for figure in figures if figure not in tables]


def test_films_come_back_from_their_lines(tmp_path: Path) -> None:
    path = tmp_path / "explained.jsonl"
    films = [made(1), made(0), made(0, fault="receptor 3 mm too high")]
    with path.open("w", encoding="utf-8") as file:
        append_films(file, films)
    assert read_films(path) == [films[1], films[2], films[0]]


def test_a_run_goes_on_where_it_was_stopped(tmp_path: Path) -> None:
    path = tmp_path / "explained.jsonl"
    lines = [json.dumps(asdict(made(number))) for number in range(3)]
    path.write_text("\n".join(lines)[:-20], encoding="utf-8")
    wanted = cases(1, films={Kind.OUTLINES: 4}, faults=0)
    assert [case.number for case in left_to_do(wanted, read_films(path))] == [2, 3]


def test_a_spoilt_line_in_the_middle_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "explained.jsonl"
    path.write_text("{\n" + json.dumps(asdict(made(0))) + "\n", encoding="utf-8")
    with pytest.raises(json.JSONDecodeError):
        read_films(path)


def test_a_film_is_kept_as_soon_as_it_is_explained() -> None:
    file = io.StringIO()

    def one_by_one() -> Any:
        yield made(0)
        assert file.getvalue().count("\n") == 1
        yield made(1)

    append_films(file, one_by_one())
    assert file.getvalue().count("\n") == 2


def test_what_was_told_is_counted_by_need_and_by_whether_its_way_was_right() -> None:
    """Four films: the swing told as needed on two, the wrong way on one of them; else perhaps."""
    films = [made(number) for number in range(4)]
    for number, error in ((0, -0.25), (1, -5.0)):
        needs = {**films[number].needs, Part.SWING: Need.MOVE}
        errors = {**films[number].error, Part.SWING: error}
        films[number] = replace(films[number], needs=needs, error=errors)
    row = next(line for line in told_table(films).splitlines() if line.startswith("| swing"))
    assert row == "| swing | 50.0% | 50.0% | 50.0% | 100.0% |"


def test_cases_take_views_spreads_and_gaps_by_turns() -> None:
    every = cases(3, films={Kind.OUTLINES: 16, Kind.CROWNS: 8, Kind.BEYOND: 2}, faults=2)
    plain = [case for case in every if case.fault is None and case.kind is Kind.OUTLINES]
    assert len({(case.view, case.spread, case.missing) for case in plain}) == 16
    assert [case.run for case in every if case.fault] == [1003, 1003]
    assert {case.spread for case in every if case.kind is Kind.BEYOND} == {2.0}
    half = every[: len(every) // 2]
    assert [case.kind for case in half].count(Kind.CROWNS) == 4


def test_contacts_on_the_next_film_are_compared_where_a_movement_is_told() -> None:
    """Eight films off, two of a view; of four the view is set up anew. By hand: 0.50 less 0.25."""
    films = [
        replace(
            made(number),
            true=dict.fromkeys(Part, 6.0),
            course=Course.MOVED if number < 4 else Course.ANEW,
        )
        for number in range(8)
    ]
    row = next(line for line in next_film_table(films).splitlines() if line.startswith("| all"))
    assert row == (
        "| all | 8 | 50.0% | 50.0% | 25.0% | +25.0 (+25.0 to +25.0) | +12.5 (+12.5 to +12.5) "
        "| 50.0% |"
    )
    assert "| all | 0 | none |" in next_film_table([made(0)])
    of_all = every_next_film_table(films).splitlines()[-1]
    assert of_all == (
        "| all (8) | 12.5% | 37.5% | 25.0% | 25.0% | 50.0% | 75.0% | +25.0 (+25.0 to +25.0) "
        "| +12.5 (+12.5 to +12.5) | +50.0 (+50.0 to +50.0) |"
    )


def test_causes_told_alone_are_counted_apart_from_those_told_as_one_of_two() -> None:
    """Four films of a tube too high: one alone right, one alone wrong, a pair right, none told."""
    film = made(0, "tube 12 degrees too high")
    low, none = CauseName.TUBE_TOO_LOW, CauseName.NONE
    films = [
        film,
        replace(film, first_cause=low),
        replace(film, first_cause=low, alternative=CauseName.TUBE_TOO_HIGH),
        replace(film, first_cause=none),
    ]
    row = next(line for line in faults_table(films).splitlines() if "12 degrees too high" in line)
    said = "25.0% | 50.0% | 50.0% | 25.0% | 100.0% | 50.0% | tube too low |"
    assert row == f"| tube 12 degrees too high | {said}"


def test_films_are_counted_apart_that_kept_at_least_half_of_their_fault() -> None:
    """A receptor 3 mm too high: held by the palate, once with the teeth apart; one kept whole."""
    name = "receptor 3 mm too high"
    film = replace(made(0, name), first_cause=CauseName.RECEPTOR_TOO_HIGH)
    none = film.true | {Part.HEIGHT: -0.3, Part.CLOSURE: 0.2}
    films = [
        replace(film, true=none, first_cause=CauseName.NONE),
        replace(film, true=none | {Part.CLOSURE: 2.0}, first_cause=CauseName.TUBE_TOO_LOW),
        replace(film, true=none | {Part.HEIGHT: -2.8}),
    ]
    every, mostly = faults_table(films).splitlines()[-2:]
    assert every.startswith("| all (3) | 33.3% |")
    assert mostly.startswith("| at least half of it left (2) | 50.0% |")
