"""The charts of an audit."""

from collections.abc import Sequence

from bitewright.audit.control_chart import ControlChart
from bitewright.audit.faults import FaultCount
from bitewright.audit.groupings import date_of
from bitewright.audit.operator_aim import OperatorAim
from bitewright.audit.period_by_size import FEWEST_POINTS
from bitewright.audit.pooled_means import WORTH_SAYING, PartEstimate
from bitewright.audit.proportions import FEWEST
from bitewright.audit.rates import RateTable
from bitewright.audit.whole_audit import Audit, ChangeView
from bitewright.exposing.scatter import AimPart
from bitewright.report.chart_frame import Frame, Span, percent_span, steps
from bitewright.report.figure import Cell, Figure
from bitewright.report.palette import CALM, INK, PALE, QUIET, WARM
from bitewright.words.aim import decimals_known
from bitewright.words.audit_figures import (
    aim_words,
    control_words,
    drift_words,
    fault_share_words,
    faults_words,
    group_words,
    over_time_words,
    rates_words,
)
from bitewright.words.titles import AIM_PARTS

SHORT_DASHES, LONG_DASHES, DOTS = (5.0, 4.0), (7.0, 2.0), (2.0, 3.0)
DRIFT_DAYS_SHOWN = 7
"""Days that fit under the chart of drift."""
FAULTS_FIGURE = "faults"
"""Name of the figure of faults."""
NAMES_IN_A_COLUMN = 20
"""Names that fit one above another in the chart of aims."""
WITHIN_95_SD = 1.96
"""So many standard deviations to either side hold 95%, of a normal distribution."""
ROOM_FOR_LABELS = 98
"""Letters that fit under a chart over time."""


def control_figure(told: Audit) -> Figure:
    """Rate over time and the named changes: control limits, or of few stretches intervals."""
    table = told.periods
    word = told.settings.event.value
    words = control_words(told)
    is_course = len(table.labels) > 1
    frame = _time_frame(table, _highest(told), words.up)
    if told.chart is None:
        _intervals_over_time(frame, table)
    else:
        _limits_over_time(frame, told.chart)
    for number, (name, day) in enumerate(told.settings.changes):
        x = _place_of(date_of(day), table.labels)
        frame.line([x, x], [frame.y.low, frame.y.high], colour=INK, dashes=DOTS)
        frame.word(x, frame.y.high, name, dx=4, dy=12 + 14 * (number % 2))
    header = (table.name, f"{word}s", "exposures", "rate")
    ends = ("low", "high") if told.chart is None else ("lower limit", "upper limit", "beyond")
    return Figure(
        name="over-time" if told.chart is None else "control-chart",
        title=words.title,
        says=words.says,
        drawing=frame.drawing(words.title, words.alt) if is_course else None,
        header=(*header, *ends),
        rows=_over_time_rows(told),
    )


def over_time_figure(table: RateTable) -> Figure:
    """Rates of stretches of time, each with its interval."""
    words = over_time_words(table)
    frame = _time_frame(table, _highest_interval(table), words.up)
    _intervals_over_time(frame, table)
    return Figure(
        name="over-time",
        title=words.title,
        says=words.says,
        drawing=frame.drawing(words.title, words.alt) if len(table.labels) > 1 else None,
        header=_rates_header(table),
        rows=_rates_rows(table),
    )


def _time_frame(table: RateTable, top: float, up: str) -> Frame:
    """Room for a rate in each stretch of time, with as many labels as fit."""
    count = len(table.labels)
    longest = max(len(label) for label in table.labels) + 1
    every = -(-count * longest // ROOM_FOR_LABELS)
    ticks = tuple((k, table.labels[k]) for k in range(0, count, every))
    top = max(top, *(share.share for share in table.shares))
    return Frame(x=Span(low=-0.5, high=count - 0.5, ticks=ticks), y=percent_span(min(top, 1.0), up))


def _highest(told: Audit) -> float:
    """The highest end of what is drawn over time."""
    if told.chart is not None:
        return float(told.chart.highs.max())
    return _highest_interval(told.periods)


def _highest_interval(table: RateTable) -> float:
    return max((s.high for s in table.shares if s.enough), default=table.overall.high)


def _rates_header(table: RateTable) -> tuple[str, ...]:
    return (table.name, f"{table.event.value}s", "exposures", "rate", "low", "high")


def _rates_rows(table: RateTable) -> tuple[tuple[Cell, ...], ...]:
    return tuple(
        (label, share.count, share.total, share.share, share.low, share.high)
        for label, share in zip(table.labels, table.shares, strict=True)
    )


def _limits_over_time(frame: Frame, chart: ControlChart) -> None:
    count = len(chart.shares)
    for k in range(count):
        frame.band(k - 0.5, k + 0.5, float(chart.lows[k]), float(chart.highs[k]))
    for k in range(count):
        frame.line(
            [k - 0.5, k + 0.5], [float(chart.centres[k])] * 2, colour=QUIET, dashes=SHORT_DASHES
        )
    frame.line(range(count), [float(share) for share in chart.shares])
    for k in range(count):
        frame.dot(k, float(chart.shares[k]), apart=k in chart.out)


def _intervals_over_time(frame: Frame, table: RateTable) -> None:
    overall = table.overall.share
    frame.line([frame.x.low, frame.x.high], [overall] * 2, colour=QUIET, dashes=SHORT_DASHES)
    for k, share in enumerate(table.shares):
        if share.enough:
            frame.line([k, k], [share.low, share.high])
            frame.dot(k, share.share, row=k)
        elif len(table.shares) < FEWEST_POINTS:
            frame.word(k, 0.0, group_words(share), anchor="middle", dy=-6, colour=QUIET)


def _over_time_rows(told: Audit) -> tuple[tuple[Cell, ...], ...]:
    chart, table = told.chart, told.periods
    told_of = [
        (label, share.count, share.total, share.share)
        for label, share in zip(table.labels, table.shares, strict=True)
    ]
    if chart is None:
        ends: list[tuple[Cell, ...]] = [(share.low, share.high) for share in table.shares]
    else:
        ends = [
            (float(low), float(high), _yes(k in chart.out))
            for k, (low, high) in enumerate(zip(chart.lows, chart.highs, strict=True))
        ]
    return tuple((*one, *end) for one, end in zip(told_of, ends, strict=True))


def drift_figure(told: Audit | ChangeView) -> Figure | None:
    """The cusum of drift; None where the record is too short."""
    watch = told.drift
    if watch is None:
        return None
    weeks = told.weeks.starts[watch.reference :]
    days = [int(day) for day in weeks]
    up = [float(value) for value in watch.cusum.up]
    down = [-float(value) for value in watch.cusum.down]
    limit = watch.cusum.limit
    top = 1.1 * max(limit, *up, *(-value for value in down))
    picked: list[int] = []
    for day in days:
        if not picked or day - picked[-1] >= (days[-1] - days[0]) / DRIFT_DAYS_SHOWN:
            picked.append(day)
    words = drift_words(watch)
    frame = Frame(
        x=Span(low=days[0] - 4, high=days[-1] + 4, ticks=tuple((d, date_of(d)) for d in picked)),
        y=Span(
            low=-top,
            high=top,
            ticks=tuple((value, f"{abs(value):g}") for value in steps(-top, top)),
            title=words.up,
        ),
    )
    for side in (limit, -limit):
        frame.line([days[0] - 4, days[-1] + 4], [side, side], colour=QUIET, dashes=SHORT_DASHES)
    frame.line(days, up, colour=WARM)
    frame.line(days, down, colour=CALM, dashes=LONG_DASHES)
    frame.word(days[-1], limit, "limit", anchor="end", dy=-5, colour=QUIET)
    for signal, path in ((watch.cusum.signal_up, up), (watch.cusum.signal_down, down)):
        if signal is not None:
            frame.dot(days[signal], path[signal], apart=True)
            frame.word(days[signal], path[signal], "sure", dx=9, dy=4)
    return Figure(
        name="drift",
        title=words.title,
        says=words.says,
        drawing=frame.drawing(words.title, words.alt),
        header=("week from", "sum upward", "sum downward", "limit"),
        rows=tuple((date_of(day), a, -b, limit) for day, a, b in zip(days, up, down, strict=True)),
    )


def rates_figure(table: RateTable) -> Figure:
    """Rates of one dimension's groups, with intervals."""
    count = len(table.labels)
    known = [share.high for share in table.shares if share.enough]
    top = max([*known, table.overall.high, 0.05])
    longest = max((len(label) for label in table.labels), default=5)
    words = rates_words(table)
    frame = Frame(
        x=percent_span(min(top, 1.0), words.across),
        y=Span(low=-0.5, high=count - 0.5, ticks=()),
        height=70 + 26 * count,
        left=min(30 + 7 * longest, 260),
        right=110,
    )
    overall = table.overall.share
    frame.line([overall, overall], [-0.5, count - 0.5], colour=QUIET, dashes=SHORT_DASHES)
    for place, (label, share) in enumerate(zip(table.labels, table.shares, strict=True)):
        y = count - 1 - place
        frame.word(frame.x.low, y, label, anchor="end", dx=-8, dy=4)
        if share.total >= FEWEST:
            frame.line([share.low, min(share.high, frame.x.high)], [y, y])
            frame.dot(share.share, y, row=place)
        frame.word(frame.x.high, y, group_words(share), dx=8, dy=4, colour=QUIET)
    return Figure(
        name=f"rates-by-{table.name}",
        title=words.title,
        says=words.says,
        drawing=frame.drawing(words.title, words.alt),
        header=_rates_header(table),
        rows=_rates_rows(table),
    )


def faults_figure(faults: tuple[FaultCount, ...]) -> Figure:
    """Faults of rejected exposures, the most frequent first."""
    shown = faults[:10]
    count = len(shown)
    words = faults_words(shown)
    longest = max((len(fault.label) for fault in shown), default=5)
    frame = Frame(
        x=percent_span(
            max((f.among_faults.share for f in shown), default=1.0),
            words.across,
        ),
        y=Span(low=-0.5, high=max(count, 1) - 0.5, ticks=()),
        height=70 + 26 * max(count, 1),
        left=min(30 + 7 * longest, 260),
        right=150,
    )
    for place, fault in enumerate(shown):
        y = count - 1 - place
        frame.band(0.0, fault.among_faults.share, y - 0.32, y + 0.32, CALM, row=place)
        frame.word(0.0, y, fault.label, anchor="end", dx=-8, dy=4)
        frame.word(frame.x.high, y, fault_share_words(fault), dx=8, dy=4, colour=QUIET)
    return Figure(
        name=FAULTS_FIGURE,
        title=words.title,
        says=words.says,
        drawing=frame.drawing(words.title, words.alt),
        header=("fault", "count", "share of faults", "cumulative", "share of rejects", "size"),
        rows=tuple(
            (f.label, f.among_faults.count, f.among_faults.share, f.cumulative,
             f.among_exposures.share, f.typical_size)
            for f in faults
        ),
    )  # fmt: skip


def aim_figure(aims: tuple[OperatorAim, ...]) -> Figure | None:
    """Each operator's mean contact error with its interval, in order of size."""
    parts = sorted(
        ((aim, aim.parts[0]) for aim in aims if aim.parts[0].assessed), key=lambda one: one[1].mean
    )
    if not parts:
        return None
    reach = 1.1 * max(max(abs(part.low), abs(part.high)) for _, part in parts)
    width = WORTH_SAYING[AimPart.CONTACT_ERROR]
    count = len(parts)
    apart = [place for place, (aim, part) in enumerate(parts) if part in aim.remarked]
    named = _with_room(apart, [part.mean for _, part in parts], least=2 * reach / NAMES_IN_A_COLUMN)
    words = aim_words(count, without_room=len(apart) - len(named))
    frame = Frame(
        x=Span(low=-1, high=count, ticks=(), title=words.across),
        y=Span(
            low=-reach,
            high=reach,
            ticks=tuple((value, f"{value:+g}") for value in steps(-reach, reach)),
            title=words.up,
        ),
        height=320,
    )
    shown = min(width, reach)
    frame.band(-1, count, -shown, shown, PALE)
    for place, (aim, part) in enumerate(parts):
        frame.line([place, place], [part.low, part.high])
        frame.dot(place, part.mean, apart=place in apart)
        if place in named:
            left = place > count / 2
            frame.word(
                place, part.mean, aim.label, dx=-9 if left else 9, dy=4,
                anchor="end" if left else "start",
            )  # fmt: skip
    return Figure(
        name="aim",
        title=words.title,
        says=words.says,
        drawing=frame.drawing(words.title, words.alt),
        header=("operator", "assessed", *_aim_header()),
        rows=tuple((aim.label, aim.assessed, *_aim_cells(aim)) for aim in aims),
    )


def _with_room(apart: Sequence[int], means: Sequence[float], *, least: float) -> set[int]:
    """Those of the places whose names lie ``least`` apart, the outermost first."""
    named: list[int] = []
    for place in sorted(apart, key=lambda each: -abs(means[each])):
        if all(abs(means[place] - means[other]) >= least for other in named):
            named.append(place)
    return set(named)


def _aim_header() -> list[str]:
    words = ("mean", "low", "high", "scatter")
    return [f"{AIM_PARTS[part]}, {word}" for part in AimPart for word in words]


def _aim_cells(aim: OperatorAim) -> list[Cell]:
    return [value for part in aim.parts for value in _part_cells(part)]


def _part_cells(part: PartEstimate) -> list[Cell]:
    """Mean, interval and scatter of one part, as far as they are known."""
    if not part.assessed:
        return [None] * 4
    known = decimals_known(part.low, part.high)
    # A standard deviation is known to 1 in the root of twice its count; normal, from memory.
    off = WITHIN_95_SD * part.scatter / (2.0 * part.assessed) ** 0.5
    cells = [round(value, known) + 0.0 for value in (part.mean, part.low, part.high)]
    return [*cells, round(part.scatter, decimals_known(-off, off)) + 0.0]


def _place_of(date: str, labels: tuple[str, ...]) -> float:
    """Where a date lies among periods named by their beginning."""
    before = [k for k, label in enumerate(labels) if label <= date]
    return (before[-1] if before else 0) - 0.5


def _yes(flag: bool) -> str:  # noqa: FBT001 - a word for a flag
    return "yes" if flag else "no"


__all__ = [
    "FAULTS_FIGURE",
    "aim_figure",
    "control_figure",
    "drift_figure",
    "faults_figure",
    "over_time_figure",
    "rates_figure",
]
