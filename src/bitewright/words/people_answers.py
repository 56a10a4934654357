"""Whether any operator differs from the others, or aims steadily off."""

from bitewright.audit.could_have_missed import can_compare, rates_found_from
from bitewright.audit.counted_by import Event
from bitewright.audit.funnel import Funnel
from bitewright.audit.whole_audit import Audit
from bitewright.words.aim import advice
from bitewright.words.answer import Answer, Found
from bitewright.words.audit_figures import work_alike
from bitewright.words.could_have_missed import aims_missed, rates_missed
from bitewright.words.phrases import are, counted
from bitewright.words.rates import percent

MOST_ADVISED = 3
"""People whose advice stands in the list of what to do; of more it would hide all else."""


def operators_apart(found: Funnel, event: Event, *, named: bool = True) -> Answer:
    """Whether any operator's rate differs from the others' beyond chance; ``named``: and who."""
    question = "Does any operator differ from the others more than chance explains?"
    enough = [o for o in found.operators if o.enough]
    few = len(found.operators) - len(enough)
    left_out = ""
    if few:
        left_out = f" {counted(few, 'operator')} with too few exposures {are(few)} not judged."
    if len(enough) < 2:
        sentence = f"Fewer than two operators have enough exposures.{left_out}"
        if len(found.operators) == 1:
            sentence = "Only one operator is in this record, so there is nobody to compare."
        return Answer(topic="operators", question=question, found=Found.TOO_FEW, sentence=sentence)
    beyond = [o for o in enough if o.beyond]
    if not beyond:
        ends = rates_found_from(found)
        compared = can_compare(found, ends)
        first = (
            f"None of {len(enough)}"
            if compared
            else f"Too few exposures to compare people: none of the {len(enough)} is named"
        )
        missed = rates_missed(ends, event)
        sentence = f"{first} ({work_alike(found)}).{left_out} {missed}".strip()
        return Answer(
            topic="operators",
            question=question,
            found=Found.NO if compared else Found.TOO_FEW,
            sentence=sentence,
        )
    if not named:
        return Answer(
            topic="operators",
            question=question,
            found=Found.YES,
            sentence=f"{len(beyond)} of {len(enough)}; who, the lead's sheet alone tells."
            f"{left_out}",
            actions=(
                (
                    "Let the lead look at the films of who stands out together with them, in "
                    "private, before anything is concluded."
                ),
            ),
        )
    said = "; ".join(
        f"{o.label}: most likely {percent(o.likely_rate)} ({100 * o.low:.1f} to {percent(o.high)})"
        for o in beyond
    )
    names = ", ".join(o.label for o in beyond)
    return Answer(
        topic="operators",
        question=question,
        found=Found.YES,
        sentence=f"{len(beyond)} of {len(enough)}: {said}.{left_out}",
        actions=(
            f"Look at the films of {names} together, in private, before anything is concluded.",
        ),
    )


def steady_aims(told: Audit, *, named: bool = True) -> list[Answer]:
    """Whether anybody's aim or placement is off in the same way again and again; and who."""
    question = "Does anybody aim or place steadily off?"
    if not told.aims:
        sentence = "No exposure of this record has an assessment of its aim."
        return [Answer(topic="aim", question=question, found=Found.TOO_FEW, sentence=sentence)]
    off = [aim for aim in told.aims if aim.remarked]
    if not off:
        sentence = (
            f"None of {counted(len(told.aims), 'operator')} surely by more than is worth a remark. "
            f"{aims_missed(told.aims)}"
        )
        return [Answer(topic="aim", question=question, found=Found.NO, sentence=sentence)]
    if not named:
        return [
            Answer(
                topic="aim",
                question=question,
                found=Found.YES,
                sentence=f"{len(off)} of {len(told.aims)}; each one's private sheet tells what to "
                "move.",
                actions=(_private_sheets(len(off)),),
            )
        ]
    return [
        Answer(
            topic="aim",
            question=question,
            found=Found.YES,
            sentence=f"{len(off)} of {len(told.aims)}: {', '.join(aim.label for aim in off)}.",
            actions=tuple(f"{aim.label}: {advice(aim)}" for aim in off)
            if len(off) <= MOST_ADVISED
            else (_private_sheets(len(off)),),
        )
    ]


def _private_sheets(people: int) -> str:
    """What the lead does, where a page names nobody."""
    if people == 1:
        return (
            "Let the lead give the person who aims or places steadily off their private sheet "
            "(`bitewright audit report --for CODE`) and talk it over with them."
        )
    return (
        f"Let the lead give each of the {people} who aim or place steadily off their private sheet "
        "(`bitewright audit report --for CODE`) and talk it over with them."
    )


__all__ = ["operators_apart", "steady_aims"]
