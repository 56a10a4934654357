"""The chart of operators side by side: a funnel of many, a line for each of few."""

from bitewright.audit.funnel import Funnel, OperatorStanding, reach_among_few, reach_of
from bitewright.report.chart_frame import Frame, Span, percent_span, steps
from bitewright.report.figure import Figure
from bitewright.report.palette import QUIET
from bitewright.words.audit_figures import FigureWords, funnel_words

SHORT_DASHES, DOTS = (5.0, 4.0), (2.0, 3.0)
HEIGHT = 320


def funnel_figure(found: Funnel, word: str) -> Figure | None:
    """Operators against the number of their exposures; None with fewer than two to place."""
    people = [each for each in found.operators if each.enough]
    if len(people) < 2:
        return None
    words = funnel_words(found, word)
    frame = _few(found, words) if found.borrowed else _many(found, people, words)
    return Figure(
        name="operators",
        title=words.title,
        says=words.says,
        drawing=frame.drawing(words.title, words.alt),
        header=(
            "operator", f"{word}s", "exposures", "expected", "standardised rate",
            "likely rate", "low", "high", "beyond", "enough",
        ),
        rows=tuple(
            (o.label, o.rejects, o.exposures, o.expected, o.rate, o.likely_rate, o.low, o.high,
             "yes" if o.beyond else "no", "yes" if o.enough else "no")
            for o in found.operators
        ),
    )  # fmt: skip


def _many(found: Funnel, people: list[OperatorStanding], words: FigureWords) -> Frame:
    """Limits that narrow with the number of exposures."""
    most = max(each.exposures for each in people) + 1
    least = min(each.exposures for each in people) - 1
    sizes = [least + (most - least) * k / 60 for k in range(61)]
    inner, outer = (reach_of(found, sizes, z) for z in (1.96, found.z_beyond))
    edge = 0.04 * (most - least)
    frame = Frame(
        x=Span(
            low=least - edge,
            high=most + edge,
            ticks=tuple((value, f"{value:g}") for value in steps(least, most, most=8)),
            title=words.across,
        ),
        y=percent_span(max([float(outer.high.max()), *(o.rate for o in people)]), words.up),
        height=HEIGHT,
    )
    frame.line([least - edge, most + edge], [found.overall] * 2, colour=QUIET, dashes=SHORT_DASHES)
    for limits, dashes in ((inner, DOTS), (outer, ())):
        for curve in (limits.low, limits.high):
            frame.line(sizes, [float(value) for value in curve], colour=QUIET, dashes=dashes)
    for each in people:
        _dot(frame, each.exposures, each)
    return frame


def _few(found: Funnel, words: FigureWords) -> Frame:
    """Side by side in the order of their exposures, each with the limits set by the others."""
    reach = reach_among_few(found, found.z_beyond)
    each_reach = zip(found.operators, reach.low, reach.high, strict=True)
    placed = [(o, float(low), float(high)) for o, low, high in each_reach if o.enough]
    placed.sort(key=lambda one: (one[0].exposures, one[0].rate))
    count = len(placed)
    frame = Frame(
        x=Span(
            low=-1,
            high=count,
            ticks=tuple((k, f"{o.exposures}") for k, (o, _, _) in enumerate(placed)),
            title=words.across,
        ),
        y=percent_span(max(max(high, o.rate) for o, _, high in placed), words.up),
        height=HEIGHT,
    )
    frame.line([-1, count], [found.overall] * 2, colour=QUIET, dashes=SHORT_DASHES)
    for place, (each, low, high) in enumerate(placed):
        frame.line([place, place], [low, high], colour=QUIET)
        _dot(frame, place, each)
    return frame


def _dot(frame: Frame, place: float, operator: OperatorStanding) -> None:
    frame.dot(place, operator.rate, apart=operator.beyond)
    if operator.beyond:
        frame.word(place, operator.rate, operator.label, dx=9, dy=4)


__all__ = ["funnel_figure"]
