"""A student's sheet, a class's and what comes again, as a person sees them."""

from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table
from rich.text import Text

from bitewright.cli.shown.tables import STYLES
from bitewright.competence.attempts import Skill
from bitewright.competence.item_statistics import TopicStatistics
from bitewright.competence.judging import Judgement, SkillStanding
from bitewright.words.competence import (
    ANSWER_SIGNS,
    COURSE,
    FIRST_ONLY,
    HARDEST_TOPICS,
    JUDGED,
    LOOK_AT_ITEMS,
    NOTHING_AGAIN,
    NOTHING_DUE,
    PRACTICE_IS_NOT_CLINIC,
    SKILLS,
    WEAKEST_TOPICS,
    as_percent,
    bar_words,
    block_words,
    counted_words,
    damaged_student_words,
    deleted_note_words,
    logged_words,
    misconceived_words,
    no_misconception_words,
    no_poor_words,
    poor_item_words,
    repeated_words,
    standing_words,
    sureness_words,
)
from bitewright.words.phrases import capital, counted
from bitewright.words.topics import topic_words

if TYPE_CHECKING:
    from bitewright.tasks.competence.practice_due import DueTopic, Practice
    from bitewright.tasks.competence.tell_class import ClassSheet
    from bitewright.tasks.competence.tell_student import StudentSheet


def show_student(sheet: "StudentSheet", out: Console) -> None:
    """One student's own sheet."""
    out.print(f"{sheet.student}: {repeated_words(sheet.attempts, sheet.first)}", markup=False)
    for told in sheet.standings:
        out.print()
        out.print(_answer_line(told))
        out.print(f"  {standing_words(told)}", markup=False)
        blocks = sheet.courses[told.skill]
        if len(blocks) > 1:
            out.print(f"  {COURSE}:", markup=False)
            for block in blocks:
                out.print(f"    {block_words(block)}", markup=False)
    if sheet.missed:
        out.print()
        out.print(_table(WEAKEST_TOPICS, [_topic(each) for each in sheet.missed]))
    out.print()
    if sheet.sureness:
        out.print(sureness_words(sheet.sureness), markup=False)
    out.print(f"{FIRST_ONLY} {PRACTICE_IS_NOT_CLINIC}", style="dim")
    if sheet.rejected is not None:
        films = sheet.rejected
        out.print(logged_words(films.count, films.total, films.low, films.high), markup=False)


def show_class(sheet: "ClassSheet", out: Console) -> None:
    """A class's sheet."""
    skills = [skill for skill in Skill if any(sheet.counted(skill).values())]
    table = Table(title=bar_words(sheet.bar), title_justify="left", box=None, pad_edge=False)
    for heading in ("student", *(SKILLS[skill] for skill in skills)):
        table.add_column(heading)
    for code, own in sheet.students.items():
        by_skill = {told.skill: told for told in own}
        table.add_row(code, *(_cell(by_skill.get(skill)) for skill in skills))
    out.print(table)
    out.print()
    for skill in skills:
        out.print(counted_words(skill, sheet.counted(skill)), markup=False)
    out.print()
    out.print("Sure and wrong", style="bold")
    for topic in sheet.misconceived:
        out.print(f"  {misconceived_words(topic)}", markup=False)
    if not sheet.misconceived:
        out.print(f"  {no_misconception_words(sheet.topics)}", markup=False)
    out.print(LOOK_AT_ITEMS, style="bold")
    for item in sheet.poor:
        out.print(f"  {poor_item_words(item)}", markup=False)
    if not sheet.poor:
        out.print(f"  {no_poor_words(sheet.items)}", markup=False)
    out.print()
    out.print(_table(HARDEST_TOPICS, [_topic(each) for each in sheet.topics]))
    for code, number in sheet.damaged.items():
        out.print(f"x {damaged_student_words(code, number)}", style="red", markup=False)
    for gone in sheet.deleted:
        said = deleted_note_words(
            gone.student,
            gone.deleted_at[:10],
            gone.deleted_by,
            gone.attempts,
            is_sound=gone.is_sound,
        )
        out.print(said, style="dim", markup=False)
    out.print(f"{FIRST_ONLY} {PRACTICE_IS_NOT_CLINIC}", style="dim")


def show_practice(practice: "Practice", out: Console) -> None:
    """What comes again."""
    if not practice.topics:
        out.print(NOTHING_AGAIN)
        return
    if not practice.due:
        out.print(NOTHING_DUE)
    for title, topics in (
        (f"Due on {practice.on}", practice.due),
        ("Later", practice.later),
    ):
        if topics:
            out.print(_table(title, [_due(each) for each in topics]))


def _cell(told: SkillStanding | None) -> Text:
    if told is None:
        return Text("")
    sign = ANSWER_SIGNS[told.answer]
    return Text(f"{sign} {as_percent(told.level)}, {counted(told.items, 'exercise')}", STYLES[sign])


def _answer_line(told: SkillStanding) -> Text:
    sign = ANSWER_SIGNS[told.answer]
    words = f"{sign} {capital(SKILLS[told.skill])}: {JUDGED[told.answer]}"
    return Text(words, STYLES[sign] if told.answer is not Judgement.CANNOT_TELL else "bold")


def _topic(each: TopicStatistics) -> dict[str, str]:
    return {
        "topic": topic_words(each.skill, each.topic),
        "skill": SKILLS[each.skill],
        "answers": str(each.answers),
        "mean score": as_percent(each.mean_score),
    }


def _due(each: "DueTopic") -> dict[str, str]:
    return {
        "topic": topic_words(each.skill, each.topic),
        "skill": SKILLS[each.skill],
        "day": each.due,
        "answers": str(each.answers),
        "missed": str(each.missed),
    }


def _table(title: str, rows: list[dict[str, str]]) -> Table:
    table = Table(title=title, title_justify="left", box=None, pad_edge=False)
    for heading in rows[0]:
        right = heading in {"answers", "missed", "mean score"}
        table.add_column(heading, justify="right" if right else "left")
    for row in rows:
        table.add_row(*row.values())
    return table


__all__ = ["show_class", "show_practice", "show_student"]
