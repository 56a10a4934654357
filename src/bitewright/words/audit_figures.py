"""What an audit's charts and tables show and how to read them: title, axes, and both for the blind.

A figure's own numbers stand in its table; here is what they mean.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bitewright.audit.cusum import DriftWatch
from bitewright.audit.dated_change import BeforeAfter
from bitewright.audit.faults import FEWEST_NOTED, FaultCount
from bitewright.audit.funnel import FEWEST_TO_LEARN_FROM, Funnel
from bitewright.audit.period_by_size import FEWEST_POINTS
from bitewright.audit.pooled_means import WORTH_SAYING
from bitewright.audit.proportions import FEWEST, Share
from bitewright.audit.rates import RateTable
from bitewright.audit.whole_audit import Audit
from bitewright.exposing.scatter import AimPart
from bitewright.words.phrases import capital, counted, listed
from bitewright.words.rates import share_words


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureWords:
    """The words of one figure.

    Parameters
    ----------
    title, says : str
        Heading, and how to read it.
    alt : str
        What a reader who cannot see it should know.
    across, up : str
        Titles of the axes.
    """

    title: str
    says: str = ""
    alt: str = ""
    across: str = ""
    up: str = ""


def control_words(told: Audit) -> FigureWords:
    """The rate over time."""
    word, table, chart = told.settings.event.value, told.periods, told.chart
    if chart is None:
        words = over_time_words(table)
        if len(table.labels) == 1:
            return words
        few = (
            f" {capital(counted(len(table.labels), table.name))} are too few for a control chart: "
            f"it needs {FEWEST_POINTS} at least."
        )
        return replace(words, says=words.says + few)
    return FigureWords(
        title=f"{capital(word)} rate over time",
        says=f"The band is where a {table.name} lies by chance when nothing changes (three "
        "standard deviations, allowing for films of one patient being alike, and widened "
        f"{chart.spread:.2f} times for other variation between {table.name}s); diamonds lie beyond "
        "it. Named changes cut it into phases with an average each.",
        alt=f"{capital(word)} rate of {counted(len(table.labels), table.name)} about "
        f"{chart.centre:.1%}; {len(chart.out)} beyond the limits.",
        up=f"{word} rate",
    )


def over_time_words(table: RateTable) -> FigureWords:
    """The rate of each stretch of time with its interval."""
    word = table.event.value
    says = f"Each {table.name}'s rate with its 95% interval; the dashed line is the rate over all."
    if len(table.labels) == 1:
        says = (
            f"All exposures are of one {table.name}, {table.labels[0]}, so there is no course over "
            f"time to show: {rate_or_count(table.overall, word)}."
        )
    elif not all(share.enough for share in table.shares):
        says += f" Where there are fewer than {FEWEST} exposures it tells their number and no rate."
    return FigureWords(
        title=f"{capital(word)} rate over time",
        says=says,
        alt=f"{capital(word)} rate of {counted(len(table.labels), table.name)} with 95% intervals.",
        up=f"{word} rate",
    )


def drift_words(watch: DriftWatch) -> FigureWords:
    """Small departures from the rate of the first weeks, added up."""
    return FigureWords(
        title="Slow drift",
        says=f"Small departures from the rate of the first {counted(watch.reference, 'week')} with "
        f"films add up: {first_weeks_words(watch)}, taken as "
        f"{watch.usual:.1%}, as if half a film more had come out either way. Beyond the dashed "
        "limit they are no longer chance; the climb began where the line last left zero.",
        alt="Cumulative sums of rejects above and below the rate of the first weeks, with limits.",
        up="above: more than at first; below: fewer",
    )


def first_weeks_words(watch: DriftWatch) -> str:
    """What was counted in the weeks that a drift is measured from."""
    share = watch.first_count / watch.first_total
    return f"{watch.first_count} of {watch.first_total} ({share:.1%})"


def rates_words(table: RateTable) -> FigureWords:
    """Rates by one dimension's groups."""
    word = table.event.value
    return FigureWords(
        title=f"By {table.name}",
        alt=f"{capital(word)} rates of {counted(len(table.labels), 'group')} by {table.name}, with "
        "95% intervals.",
        across=f"{word} rate",
    )


def counts_words(table: RateTable) -> FigureWords:
    """Groups of which none is large enough for a rate."""
    return FigureWords(
        title=f"By {table.name}",
        says=f"Counts alone: no {table.name} has the {FEWEST} exposures that a rate takes.",
    )


def group_words(share: Share) -> str:
    """A group's rate beside its bar, or that it is too small for one."""
    if share.total < FEWEST:
        return f"too few ({share.total})"
    return f"{share.share:.1%} of {share.total}"


def rate_or_count(share: Share, event: str) -> str:
    """The rate with its interval, or of too few exposures their counts."""
    if share.total < FEWEST:
        return f"{counted(share.count, event)} in {counted(share.total, 'exposure')}"
    return f"{event} rate {share_words(share)}"


def funnel_words(found: Funnel, event: str) -> FigureWords:
    """Operators by the number of their exposures."""
    people = [each for each in found.operators if each.enough]
    beyond = sum(each.beyond for each in people)
    return FigureWords(
        title="Operators side by side",
        says=f"Dots are operators. {_funnel_lines(found)} Only those are named."
        f"{usual_words(found)} Operators with fewer than {FEWEST} exposures are not placed.",
        alt=f"{counted(len(people), 'operator')}; {beyond} beyond their limits.",
        across="exposures of each" if found.borrowed else "exposures",
        up=f"{event} rate, {work_alike(found)}",
    )


def _funnel_lines(found: Funnel) -> str:
    if found.borrowed:
        return (
            "The line of each spans where somebody like the others would lie with as many "
            "exposures; beyond it lies hardly any of so many."
        )
    return (
        "Between the dotted lines lie 19 of 20 when all differ as people usually do; beyond the "
        "solid ones lies hardly any of so many."
    )


def work_alike(found: Funnel) -> str:
    """What is the same in the work that is compared."""
    same = [part.value for part in found.alike.dimensions] + ["month"] * found.alike.months
    if not same:
        return "all work taken as alike"
    return f"work of the same {listed(same)} compared"


def usual_words(found: Funnel) -> str:
    """That so few people do not show how much people differ; nothing where there are enough."""
    if not found.borrowed:
        return ""
    return (
        f" With fewer than {FEWEST_TO_LEARN_FROM} operators, people are taken to differ at least "
        "as they usually do: our choice."
    )


def faults_words(shown: Sequence[FaultCount]) -> FigureWords:
    """Faults of rejected exposures."""
    each = ", ".join(f"{fault.label} {fault.among_faults.count}" for fault in shown)
    is_few = any(fault.among_faults.total < FEWEST_NOTED for fault in shown)
    return FigureWords(
        title="Faults on rejected exposures",
        says="" if is_few else "'So far' adds up a fault and all above it.",
        alt=f"Faults on rejected exposures: {each}",
        across="share of all faults on rejects",
    )


def fault_share_words(fault: FaultCount) -> str:
    """How often a fault was noted, beside its bar; of enough faults its share, too."""
    noted = fault.among_faults
    if noted.total < FEWEST_NOTED:
        return f"{noted.count} of {noted.total}"
    return f"{noted.count} ({noted.share:.0%}), so far {fault.cumulative:.0%}"


def aim_words(operators: int, *, without_room: int) -> FigureWords:
    """Where each operator's tube is aimed; ``without_room``: for how many names there is none."""
    crowded = (
        f" Of {counted(without_room, 'diamond')} the code would lie over another's: the answers "
        f"name {'it' if without_room == 1 else 'them'}."
        if without_room
        else ""
    )
    people = counted(operators, "operator")
    return FigureWords(
        title="Where the tube is aimed",
        says="Each operator's mean, partly pooled with the others', and its 95% interval. Within "
        f"the band ({WORTH_SAYING[AimPart.CONTACT_ERROR]:g} degrees either way) it is not worth a "
        f"remark. Diamonds are surely beyond it.{crowded}",
        alt=f"Mean contact error of {people} with 95% intervals, in order of size.",
        across=f"{people}, in order",
        up="mean contact error, degrees; above zero the tube is too far to the front",
    )


def changes_words(confidence: float) -> FigureWords:
    """Before and after each named change."""
    return FigureWords(
        title="Before and after",
        says=f"Intervals at {100 * confidence:.1f}% (Newcombe), widened for variation between "
        "weeks. The step has a steady trend taken out, at 95%.",
    )


def step_words(change: BeforeAfter) -> str:
    """The step on a change's day, a steady trend taken out."""
    step = change.step
    if step is None:
        return "too few weeks"
    return f"odds x {step.odds_ratio:.2f} ({step.low:.2f} to {step.high:.2f})"


def difference_words(change: BeforeAfter) -> tuple[str, str]:
    """The difference in points and its interval; empty where one side has no exposures."""
    pair = change.shares
    if not (pair.first.total and pair.second.total):
        return "", ""
    return (
        f"{100 * pair.difference:+.1f} points",
        f"{100 * pair.low:+.1f} to {100 * pair.high:+.1f}",
    )


def side_words(share: Share) -> str:
    """The rate on one side of a change."""
    return f"{share.count} of {share.total} ({share.share:.1%})" if share.total else "none"


def targets_words(scheme: str) -> FigureWords:
    """Grades against their targets."""
    return FigureWords(
        title=f"Targets: {scheme}",
        says="A target is met or missed only where the whole interval lies on one side of it.",
    )


__all__ = [
    "FigureWords",
    "aim_words",
    "changes_words",
    "control_words",
    "counts_words",
    "difference_words",
    "drift_words",
    "fault_share_words",
    "faults_words",
    "first_weeks_words",
    "funnel_words",
    "group_words",
    "over_time_words",
    "rates_words",
    "side_words",
    "step_words",
    "targets_words",
    "usual_words",
    "work_alike",
]
