"""Tables of what an audit says of few people, each figure with its own interval."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from bitewright.audit.proportions import share_of
from trials.few_people import Question, Trial, trials

Sums = Mapping[str, float]
Cells = Mapping[str, Sums]
"""Sums of all records of a kind, by its key; ``records`` among them."""


def summed(lines: Iterable[Mapping[str, object]]) -> dict[str, dict[str, float]]:
    """Sums over the chunks of each kind of record, and of what was held in each, squared."""
    cells: dict[str, dict[str, float]] = {}
    for line in lines:
        cell = cells.setdefault(str(line["key"]), {"records": 0.0})
        cell["records"] += float(line["records"])  # type: ignore[arg-type]  # from JSON
        for name, value in dict(line["sums"]).items():  # type: ignore[call-overload]  # from JSON
            cell[name] = cell.get(name, 0.0) + value
            if name == "held":
                cell["chunks"] = cell.get("chunks", 0.0) + 1.0
                cell["squares"] = cell.get("squares", 0.0) + value**2
    return cells


def tables(cells: Cells) -> dict[str, str]:
    """Every table of the page by its name."""
    return {
        "rates": _table(
            cells,
            Question.RATES,
            ["operators (films each)", *(_spread_title(s, r) for s in SPREADS for r in ALIKE)],
            lambda t: f"{t.people} ({t.films})",
            _held_in_points,
        ),
        "named": _table(
            cells,
            Question.NAMED,
            ["operators, films each", *(f"likeness {r:g}" for r in (0.0, 0.2, 0.4))],
            lambda t: f"{t.people}, {t.films}",
            lambda cell: _share(cell, "named", cell["asked"]),
        ),
        "rate-power": _rate_power(cells),
        "aim": _table(
            cells,
            Question.AIM,
            ["operators, films each", *(f"spread {s:g} degrees" for s in (0.0, 1.0, 2.0))],
            lambda t: f"{t.people}, {t.films}",
            lambda cell: f"{_held(cell)}, {cell['width'] / cell['asked']:.1f} degrees wide",
        ),
        "aim-power": _table(
            cells,
            Question.AIM_POWER,
            ["operators, films each", *(f"{b:g} degrees off" for b in (2.0, 4.0, 6.0))],
            lambda t: f"{t.people}, {t.films}",
            lambda cell: _share(cell, "found", cell["asked"]),
        ),
        "kappa": _table(
            cells,
            Question.KAPPA,
            ["raters, images", *(f"{g:.0%} guessed" for g in (0.05, 0.3))],
            lambda t: f"{t.people}, {t.films}",
            lambda cell: f"{_held(cell)}, {cell['width'] / cell['asked']:.2f} wide",
        ),
    }


SPREADS = (0.0, 0.25, 0.5)
ALIKE = (0.0, 0.3)


def _spread_title(spread: float, likeness: float) -> str:
    return f"spread {spread:g}, likeness {likeness:g}"


def _table(
    cells: Cells,
    question: Question,
    header: Sequence[str],
    row_of: Callable[[Trial], str],
    shown: Callable[[Sums], str],
) -> str:
    """A table of one question; its kinds of record come row by row in the order of the columns."""
    rows: dict[str, list[str]] = {}
    for trial in trials():
        if trial.question is question:
            cell = cells.get(trial.key)
            rows.setdefault(row_of(trial), []).append(shown(cell) if cell else "not run")
    return _written(header, [[name, *row] for name, row in rows.items()])


def _rate_power(cells: Cells) -> str:
    rows = []
    for trial in trials():
        cell = cells.get(trial.key)
        if trial.question is Question.RATE_POWER and cell:
            told = cell["asked"] - cell.get("never", 0.0)
            rate = f"{cell.get('told', 0.0) / told:.0%}" if told else "none"
            found = _share(cell, "found", told) if told else ""
            rows.append([f"{trial.people}, {trial.films}", rate, found])
    return _written(["operators, films each", "named from a rate of", "named at that rate"], rows)


def _held(cell: Sums) -> str:
    """Intervals of one record hold or miss together: their share scatters as its chunks do."""
    share, chunks = cell["held"] / cell["asked"], cell["chunks"]
    alone = cell["asked"] * share * (1.0 - share)
    apart = (cell["squares"] - cell["held"] ** 2 / chunks) * chunks / max(chunks - 1.0, 1.0)
    effect = max(1.0, apart / alone) if alone > 0.0 else 1.0
    told = share_of(round(cell["held"]), round(cell["asked"]), design_effect=effect)
    return f"{told.share:.1%} ({100 * told.low:.1f} to {100 * told.high:.1f})"


def _held_in_points(cell: Sums) -> str:
    """With the mean width beside that of plain intervals."""
    wide, plain = (100 * cell[name] / cell["asked"] for name in ("width", "plain"))
    return f"{_held(cell)}, {wide:.1f} of {plain:.1f} points"


def _share(cell: Sums, name: str, among: float) -> str:
    share = share_of(round(cell.get(name, 0.0)), round(among))
    return f"{share.share:.1%} ({100 * share.low:.1f} to {100 * share.high:.1f})"


def _written(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [header, ["---"] * len(header), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)
