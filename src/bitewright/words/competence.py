"""What a student or a class can do, in sentences that say no more than the exercises answered."""

from collections.abc import Sequence

from bitewright.competence.attempts import Skill
from bitewright.competence.item_statistics import (
    FEWEST_ANSWERS,
    FEWEST_SURE,
    ItemStatistics,
    TopicStatistics,
)
from bitewright.competence.judging import FEWEST, Judgement, SkillStanding
from bitewright.competence.levels import LIKELY
from bitewright.competence.student_course import Block, SureAnswers
from bitewright.words.phrases import capital, counted
from bitewright.words.skills import SKILLS
from bitewright.words.topics import topic_words

JUDGED = {
    Judgement.CAN: "can do it",
    Judgement.NOT_YET: "not yet",
    Judgement.CANNOT_TELL: "cannot be told yet",
}
ANSWER_SIGNS = {Judgement.CAN: "=", Judgement.NOT_YET: "x", Judgement.CANNOT_TELL: "?"}
FIRST_ONLY = (
    "Only the first answer to each exercise counts; repeats show what was remembered of it."
)
PRACTICE_IS_NOT_CLINIC = (
    "These are exercises. What is logged of real films stands apart and does not count here."
)


def as_percent(share: float) -> str:
    """A share as people say it; nothing short of certain is called so."""
    return f"{min(max(round(100 * share), 1), 99)}%" if 0.0 < share < 1.0 else f"{share:.0%}"


def bar_told(bar: float, called: str = "a bar") -> str:
    """A bar both ways in which it may be typed: "a bar of 80% (a mean score of 0.8)"."""
    return f"{called} of {100.0 * bar:g}% (a mean score of {bar:g})"


def standing_words(told: SkillStanding) -> str:
    """How a skill stands against the bar, on how many exercises, and what would settle it."""
    level = (
        f"{counted(told.items, 'exercise')}: level {as_percent(told.level)} "
        f"({as_percent(told.low)} to {as_percent(told.high)}, 90% interval), "
        f"{as_percent(told.chance)} likely to pass {bar_told(told.bar, 'the bar')}."
    )
    return f"{level}{_what_settles(told)}"


def _what_settles(told: SkillStanding) -> str:
    if told.answer is not Judgement.CANNOT_TELL:
        return ""
    is_few = told.items < FEWEST
    few = f" From fewer than {FEWEST} exercises nothing is judged." if is_few else ""
    if told.more is None and is_few:
        return f"{few} How many more would settle it cannot be told yet."
    if told.more is None:
        return f" A hundred more would settle it with a chance of less than {as_percent(LIKELY)}."
    more = counted(told.more, "more exercise", "more exercises")
    return f"{few} About {more} would likely settle it."


def block_words(block: Block) -> str:
    """One block of a course."""
    days = block.first_day
    if block.last_day != block.first_day:
        days = f"{block.first_day} to {block.last_day}"
    return (
        f"{days}, {counted(block.items, 'exercise')}: {as_percent(block.level)} "
        f"({as_percent(block.low)} to {as_percent(block.high)})"
    )


def sureness_words(told: Sequence[SureAnswers]) -> str:
    """How answers came out by how sure they were given; nothing where it was never said."""
    if not told:
        return ""
    each = "; ".join(
        f"{of.step.value}: {counted(of.answers, 'answer')}, mean score {as_percent(of.mean_score)}"
        for of in told
    )
    return f"How sure, and how it came out. {capital(each)}."


def logged_words(count: int, total: int, low: float, high: float) -> str:
    """Of films logged under the same code, those rejected."""
    return (
        f"Films logged under this code: {count} of {total} rejected "
        f"({as_percent(low)} to {as_percent(high)}, 95% interval)."
    )


def repeated_words(attempts: int, first: int) -> str:
    """How many attempts count."""
    repeats = attempts - first
    if not repeats:
        each = "" if attempts == 1 else "each "
        return f"{counted(attempts, 'attempt')}, {each}the first at its exercise."
    return f"{counted(attempts, 'attempt')}, of which {repeats} at an exercise answered before."


def misconceived_words(told: TopicStatistics) -> str:
    """A topic that many are sure of and wrong about."""
    return (
        f"{capital(topic_words(told.skill, told.topic))} ({SKILLS[told.skill]}): of "
        f"{counted(told.rated, 'answer')} with how sure, {told.sure_and_wrong} were sure and wrong."
    )


def poor_item_words(told: ItemStatistics) -> str:
    """An exercise whose score goes with no other: it or its key is worth a look."""
    found = f"{told.discrimination or 0.0:.2f}"
    return (
        f"Exercise {told.item} ({topic_words(told.skill, told.topic)}): its score goes {found} "
        f"with the rest of the skill over {counted(told.answers, 'answer')}; look at the exercise "
        "and its key."
    )


def damaged_student_words(code: str, number: int) -> str:
    """A student who is left out because the record is damaged."""
    return f"{code} is left out: attempt {number} of this student is not as it was written."


def bar_words(bar: float) -> str:
    """What a class's table shows."""
    return f"Level and exercises, against {bar_told(bar)}"


def counted_words(skill: Skill, counts: dict[Judgement, int]) -> str:
    """How many of a class are told what, of one skill."""
    said = ", ".join(
        f"{count} {ANSWER_SIGNS[answer]} {JUDGED[answer]}" for answer, count in counts.items()
    )
    return f"{capital(SKILLS[skill])}: {said}."


def deleted_note_words(code: str, day: str, by: str, attempts: int, *, is_sound: bool) -> str:
    """That a record was deleted, on a class's sheet."""
    damaged = "" if is_sound else " (this note is not as it was written)"
    return f"Record of {code} deleted on {day} by {by}, {counted(attempts, 'attempt')}{damaged}."


def attempts_kept_words(added: int, there: int, students: int) -> str:
    """What became of attempts that were given."""
    before = f", {there} kept before" if there else ""
    return f"{counted(added, 'attempt')} kept{before}, of {counted(students, 'student')}."


def record_deleted_words(code: str, attempts: int, *, by_a_server: bool) -> str:
    """A record is gone."""
    also = (
        " What the server keeps to recover from a crash holds it until that is overwritten."
        if by_a_server
        else ""
    )
    return (
        f"All of {code}'s record, {counted(attempts, 'attempt')}, is deleted, and noted as such. "
        f"Backups made before still hold it.{also}"
    )


def record_held_words(code: str, held: tuple[str, ...]) -> str:
    """A record is deleted, and somebody's earlier state of the store still holds it."""
    return (
        f"The record of {code} is deleted, but {' and '.join(held)} may still hold it, as somebody "
        "is reading the store: end that, then give this command again until it says that nothing "
        "is kept."
    )


LOOK_AT_ITEMS = "Exercises to look at"
HARDEST_TOPICS = "Topics, the hardest first"


def qti_words(file: object, written: int, left_out: int) -> str:
    """What went into a package for other programs."""
    without = (
        f"; {left_out} left out, as an answer by movement has no form there" if left_out else ""
    )
    return (
        f"{counted(written, 'exercise')} written to {file} as QTI 3.0{without}. It holds the "
        "answers: keep it from students."
    )


COURSE = "Ten exercises at a time, the oldest first, with 90% intervals"
WEAKEST_TOPICS = "Weakest topics"
COMES_AGAIN = "What comes again"


def no_misconception_words(topics: Sequence[TopicStatistics]) -> str:
    """That no topic is one that many are sure of and wrong about, of those that can be told."""
    enough = sum(each.rated >= FEWEST_SURE for each in topics)
    if not enough:
        return f"Nothing is told yet: no topic has {FEWEST_SURE} answers with how sure."
    return f"Of {counted(enough, 'topic')} with {FEWEST_SURE} such answers or more, none."


def no_poor_words(items: Sequence[ItemStatistics]) -> str:
    """That no exercise goes against the rest, of those that can be told."""
    enough = sum(each.discrimination is not None for each in items)
    if not enough:
        return (
            f"Nothing is told yet: no exercise has {FEWEST_ANSWERS} answers that can be set "
            "against the rest."
        )
    return f"Of {counted(enough, 'exercise')} with {FEWEST_ANSWERS} answers or more, none."


def comes_again_words(day: str, *, is_due: bool) -> str:
    """When a topic comes again."""
    return f"due since {day}" if is_due else f"on {day}"


NOTHING_AGAIN = "Nothing comes again: no topic was missed."
NOTHING_DUE = "Nothing is due on that day."

__all__ = [
    "ANSWER_SIGNS",
    "COMES_AGAIN",
    "COURSE",
    "FIRST_ONLY",
    "HARDEST_TOPICS",
    "JUDGED",
    "LOOK_AT_ITEMS",
    "NOTHING_AGAIN",
    "NOTHING_DUE",
    "PRACTICE_IS_NOT_CLINIC",
    "SKILLS",
    "WEAKEST_TOPICS",
    "as_percent",
    "attempts_kept_words",
    "bar_told",
    "bar_words",
    "block_words",
    "comes_again_words",
    "counted_words",
    "damaged_student_words",
    "deleted_note_words",
    "logged_words",
    "misconceived_words",
    "no_misconception_words",
    "no_poor_words",
    "poor_item_words",
    "qti_words",
    "record_deleted_words",
    "record_held_words",
    "repeated_words",
    "standing_words",
    "sureness_words",
]
