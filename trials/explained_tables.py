"""Tables of films explained: errors and intervals by kind of film, what fails, single faults."""

import statistics
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bitewright.explanation.correction import CauseName, Need, Part, Verdict, unit_of
from bitewright.explanation.known_accuracy import view_kind
from bitewright.quality.views import view
from trials.explained_films import VIEWS, ExplainedFilm, Kind, of_kind
from trials.known_films import SINGLE_FAULTS

SHOWN = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.HEIGHT)
PART_WORDS = {
    Part.SWING: "swing",
    Part.VERTICAL: "vertical",
    Part.FORWARD: "forward or back",
    Part.HEIGHT: "height",
    Part.TURN: "turn",
    Part.TILT: "tilt",
    Part.ROLL: "roll",
    Part.CLOSURE: "teeth closing",
}
UNIT_WORDS = {"deg": "degrees", "mm": "mm"}
SPREAD_WORDS = {1.0: "as irregular as the source's people", 0.6: "calmer"}
MISSING_WORDS = {0.0: "all marks", 0.2: "20% missing"}
TURNED_MUCH_DEG = 5.0
OF_A_FIELD = {
    "ring_offset_deg": Part.SWING,
    "vertical_deg": Part.VERTICAL,
    "forward_mm": Part.FORWARD,
    "height_mm": Part.HEIGHT,
    "roll_deg": Part.ROLL,
}
"""Which movement a single fault of placement or aim needs."""

Films = Sequence[ExplainedFilm]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartErrors:
    """Errors of one movement over some films. [deg or mm]

    ``held``: share of films whose 90% interval held the truth. ``unmoved``: the median error of the
    plain answer that nothing needs to move.
    """

    films: int
    median: float
    ninth_tenth: float
    unmoved: float
    held: float


def part_errors(films: Films, part: Part) -> PartErrors:
    """How far off one movement was, over some films."""
    errors = np.abs([each.error[part] for each in films])
    true = np.abs([each.true[part] for each in films])
    return PartErrors(
        films=len(films),
        median=float(np.median(errors)),
        ninth_tenth=float(np.quantile(errors, 0.9)),
        unmoved=float(np.median(true)),
        held=float(np.mean([each.covered[part] for each in films])),
    )


def errors_table(films: Films) -> str:
    """Size of the error of each movement, by kind of film."""
    heads = ("films", "part", "median error", "90th percentile", "no movement, median")
    lines = [f"| {' | '.join(heads)} | interval holds the truth |", "| --- " * 6 + "|"]
    for label, own, shown in _groups(films):
        for place, part in enumerate(shown if own else ()):
            unit = f" [{UNIT_WORDS[unit_of(part)]}]" if own is films else ""
            head = f" {label} ({len(own)})" if place == 0 else ""
            lines.append(errors_row(head, f"{PART_WORDS[part]}{unit}", part_errors(own, part)))
    return "\n".join(lines)


KIND_WORDS = {
    Kind.OUTLINES: "outlines",
    Kind.CROWNS: "real crowns",
    Kind.BEYOND: "outlines, spreads doubled",
}


def kinds_table(every: Films) -> str:
    """The swing by what was filmed, and how often a direction alone was told."""
    heads = ("films of", "films", "median error", "90th percentile", "direction right")
    more = (
        "interval holds the truth",
        "interval's width, median",
        "direction alone",
        "cannot tell",
    )
    lines = [f"| {' | '.join((*heads, *more))} |", "| --- " * 9 + "|"]
    for kind, label in KIND_WORDS.items():
        films = of_kind(every, kind)
        for spread in (None, *SPREAD_WORDS):
            own = [each for each in films if spread in (None, each.spread)]
            name = label if spread is None else f"{label}, {SPREAD_WORDS[spread]}"
            lines += [_kind_row(name, own)] if own else []
        by_worst = [_by_the_worst(each, each.worst_error) for each in films if each.worst_error]
        lines += [_kind_row(f"{label}, by the worst contact", by_worst)] if by_worst else []
    return "\n".join(lines)


def _kind_row(name: str, films: Films) -> str:
    found = part_errors(films, Part.SWING)
    wide = 2.0 * float(np.median([each.half[Part.SWING] for each in films]))
    needing = [each for each in films if abs(each.true[Part.SWING]) > TURNED_MUCH_DEG]
    return (
        f"| {name} | {len(films)} | {found.median:.2f} | {found.ninth_tenth:.2f} | "
        f"{_share(map(_same_way, needing))} | {found.held:.1%} | {wide:.1f} | "
        f"{_share(each.is_unlike for each in films)} | "
        f"{_share(not _could_tell(each) for each in films)} |"
    )


def _by_the_worst(film: ExplainedFilm, error_deg: float) -> ExplainedFilm:
    """A film with the swing that its worst contact needs taken for the truth."""
    part = Part.SWING
    needed = film.true[part] + film.error[part] - error_deg
    return replace(
        film,
        true={**film.true, part: needed},
        error={**film.error, part: error_deg},
        covered={**film.covered, part: abs(error_deg) <= film.half[part]},
    )


def held_table(films: Films) -> str:
    """How often intervals held the truth, of every movement in every kind of view."""
    by_view = {name: [each for each in films if each.view == name] for name in VIEWS}
    kinds = [view_kind(view(name).region) for name in VIEWS]
    rows = [
        f"| {PART_WORDS[part]} | "
        + " | ".join(f"{part_errors(own, part).held:.1%}" for own in by_view.values())
        + " |"
        for part in Part
    ]
    return "\n".join([f"| part | {' | '.join(kinds)} |", "| --- " * 5 + "|", *rows])


TOLD = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.HEIGHT, Part.ROLL)


def told_table(films: Films) -> str:
    """How often each movement was told as needed, or as perhaps, and its way was right."""
    lines = [
        "| movement | told as needed | its way was right | told as perhaps | its way was right |",
        "| --- " * 5 + "|",
    ]
    for part in TOLD:
        cells = []
        for need in (Need.MOVE, Need.PERHAPS):
            told = [each for each in films if each.needs[part] is need]
            cells += [
                f"{len(told) / len(films):.1%}",
                _share(_way_right(each, part) for each in told),
            ]
        lines.append(f"| {PART_WORDS[part]} | {' | '.join(cells)} |")
    return "\n".join(lines)


def _way_right(each: ExplainedFilm, part: Part) -> bool:
    said = each.error[part] + each.true[part]
    return said * each.true[part] > 0.0


def errors_row(head: str, part: str, found: PartErrors) -> str:
    """One row of `errors_table`."""
    return (
        f"|{head} | {part} | {found.median:.2f} | {found.ninth_tenth:.2f} | "
        f"{found.unmoved:.2f} | {found.held:.1%} |"
    )


def _groups(films: Films) -> list[tuple[str, Films, tuple[Part, ...]]]:
    """Kinds of films, and the parts shown of each."""
    kinds = {name: view_kind(view(name).region) for name in VIEWS}
    return [
        ("all", films, SHOWN),
        ("all that could tell", [*filter(_could_tell, films)], SHOWN[:2]),
        *(
            (kind, [each for each in films if each.view == name], SHOWN)
            for name, kind in kinds.items()
        ),
        *(
            (label, [each for each in films if each.spread == spread], SHOWN[:1])
            for spread, label in SPREAD_WORDS.items()
        ),
        *(
            (label, [each for each in films if each.missing == share], SHOWN[:1])
            for share, label in MISSING_WORDS.items()
        ),
    ]


def direction_sentences(films: Films) -> str:
    """How often the swing's direction was right, and how often nothing could be told."""
    needing = [each for each in films if abs(each.true[Part.SWING]) > TURNED_MUCH_DEG]
    right = _share(map(_same_way, needing))
    told = _share(_same_way(each) for each in needing if _could_tell(each))
    full = _share(not _could_tell(each) for each in films if each.missing == 0.0)
    every = _share(not _could_tell(each) for each in films)
    return (
        f"Where more than {TURNED_MUCH_DEG:.0f} degrees of swing were needed, its direction was "
        f"right in {right} of {len(needing)} films,\nin {told} of those that could tell. "
        f'"Cannot tell" was said of {full} of films with all marks, of {every} of all.'
    )


def failures_table(films: Films) -> str:
    """Share of films with a large swing error, by thirds of what may have to do with it."""
    failing = f"{_share(map(_fails, films))} of the films have a swing error above"
    lines = [
        f"{failing} {TURNED_MUCH_DEG:.0f} degrees. By thirds of each quantity:\n",
        "| quantity | lowest third | middle | highest |",
        "| --- | --- | --- | --- |",
    ]
    quantities: dict[str, Callable[[ExplainedFilm], float]] = {
        "mean rotation of the view's teeth": lambda each: each.turned_deg,
        "marks used": lambda each: each.marks,
        "swing needed": lambda each: abs(each.true[Part.SWING]),
        "vertical movement needed": lambda each: abs(each.true[Part.VERTICAL]),
        "teeth held apart": lambda each: each.true[Part.CLOSURE],
        "misfit of the marks": lambda each: each.misfit,
    }
    for name, quantity in quantities.items():
        thirds = np.array_split(np.arange(len(films)), 3)
        ordered = sorted(films, key=quantity)
        shares = [_share(_fails(ordered[k]) for k in third) for third in thirds]
        lines.append(f"| {name} | {' | '.join(shares)} |")
    return "\n".join(lines)


MARK_WORDS = {
    "outline": "edge of a crown",
    "cusp": "cusp",
    "cej": "cementoenamel junction",
    "crest": "bone crest",
}


def marks_table(every: Films) -> str:
    """How often a mark a millimetre off is named, beside the best that could be, and a good one."""
    heads = ("marks set 1 mm off", "foretold within", "named", "at best", "good marks named")
    lines = [f"| films of | way | {' | '.join(heads)} |", "| --- " * 7 + "|"]
    for kind, label in KIND_WORDS.items():
        films = of_kind(every, kind)
        if not films:
            continue
        good = sum(each.doubted for each in films) / max(sum(each.marks for each in films), 1)
        lines.append(f"| {label} | any | {_moved(films)} | {good:.1%} |")
        for mark, words in MARK_WORDS.items():
            for along, way in ((True, "along the row"), (False, "up or down")):
                own = [each for each in films if each.moved == mark and each.moved_along is along]
                lines += [f"| {label}: {words} | {way} | {_moved(own)} | |"] * (len(own) > 0)
    return "\n".join(lines)


def _moved(films: Films) -> str:
    sd = np.median([each.moved_foretold_mm for each in films])
    at_best = np.mean([each.moved_at_best for each in films])
    named = _share(each.moved_named for each in films)
    return f"{len(films)} | {sd:.2f} mm | {named} | {at_best:.1%}"


def confusion_table(films: Films) -> str:
    """What was named first of each single fault, in films."""
    names = list(SINGLE_FAULTS)
    of = {cause: name for name in names for cause in SINGLE_FAULTS[name].causes[:1]}
    heads = [*(cause.value.replace("-", " ") for cause in of), "teeth apart, or none"]
    lines = [f"| single fault | {' | '.join(heads)} |", "| --- " * (len(heads) + 1) + "|"]
    for name in names:
        own = [each.first_cause for each in films if each.fault == name]
        counts = [own.count(cause) for cause in of]
        cells = [str(count or "") for count in (*counts, len(own) - sum(counts))]
        lines.append(f"| {name} | {' | '.join(cells)} |")
    return "\n".join(lines)


def faults_table(films: Films) -> str:
    """How often the first cause is right, told alone or as one of two, by single fault."""
    each_has = len(films) // len(SINGLE_FAULTS)
    heads = (
        "first cause right",
        "told alone",
        "right, told alone",
        "one of two told",
        "one of them right",
        "it or its alternative right",
    )
    lines = [
        f"| single fault ({each_has} films each) | {' | '.join(heads)} | most often said instead |",
        "| --- " * 8 + "|",
    ]
    for name, fault in SINGLE_FAULTS.items():
        own = [each for each in films if each.fault == name]
        wrong = [each.first_cause for each in own if each.first_cause not in fault.causes]
        often = statistics.mode(wrong).value.replace("-", " ") if wrong else ""
        lines.append(f"| {name} | {_named_shares(own)} | {often} |")
    mostly = [each for each in films if _is_mostly_left(each)]
    return "\n".join(
        [
            *lines,
            f"| all ({len(films)}) | {_named_shares(films)} | |",
            f"| at least half of it left ({len(mostly)}) | {_named_shares(mostly)} | |",
        ]
    )


def _is_mostly_left(each: ExplainedFilm) -> bool:
    """Whether at least half of the single fault is on the film: a mouth may lack room for more.

    Teeth that palate or floor hold apart count as a receptor set too high or too low.
    """
    fault = SINGLE_FAULTS[str(each.fault)]
    part = OF_A_FIELD[fault.field]
    left = abs(each.true[part])
    if part is Part.HEIGHT:
        left = max(left, each.true[Part.CLOSURE])
    return left >= abs(fault.off) / 2.0


def _named_shares(films: Films) -> str:
    alone = [each for each in films if _is_alone(each)]
    pairs = [each for each in films if each.alternative is not None]
    shares = (
        _share(map(_named, films)),
        _share(map(_is_alone, films)),
        _share(map(_named, alone)),
        _share(each.alternative is not None for each in films),
        _share(map(_either_named, pairs)),
        _share(map(_either_named, films)),
    )
    return " | ".join(shares)


def _is_alone(each: ExplainedFilm) -> bool:
    """Whether one cause is told, and no other in its place."""
    return each.alternative is None and each.first_cause is not CauseName.NONE


def _either_named(each: ExplainedFilm) -> bool:
    return _named(each) or _named_beside(each)


def _could_tell(each: ExplainedFilm) -> bool:
    return each.verdict is not Verdict.CANNOT_TELL


def _same_way(each: ExplainedFilm) -> bool:
    return _way_right(each, Part.SWING)


def _fails(each: ExplainedFilm) -> bool:
    return abs(each.error[Part.SWING]) > TURNED_MUCH_DEG


def _named(each: ExplainedFilm) -> bool:
    return each.fault is not None and each.first_cause in SINGLE_FAULTS[each.fault].causes


def _named_beside(each: ExplainedFilm) -> bool:
    return each.fault is not None and each.alternative in SINGLE_FAULTS[each.fault].causes


def _share(hits: Iterable[bool]) -> str:
    listed = list(hits)
    return f"{np.mean(listed):.1%}" if listed else "none"


__all__ = [
    "SHOWN",
    "PartErrors",
    "confusion_table",
    "direction_sentences",
    "errors_row",
    "errors_table",
    "failures_table",
    "faults_table",
    "held_table",
    "kinds_table",
    "marks_table",
    "part_errors",
    "told_table",
]
