"""What was missed comes again at growing distance."""

from datetime import date, timedelta

from bitewright.competence.attempts import Attempt, Skill
from bitewright.tasks.competence.practice_due import DueTopic, topics_again


def answer(day: str, score: float, *, topic: str = "overlap", sure: float | None = None) -> Attempt:
    """One answer on a day."""
    return Attempt(
        student="S1",
        item=f"{topic}/{day}",
        skill=Skill.NAME,
        topic=topic,
        score=score,
        sure=sure,
        answered_at=f"{day}T09:00:00Z",
    )


def one(own: list[Attempt]) -> DueTopic:
    (found,) = topics_again(own)
    return found


def test_what_was_never_missed_does_not_come_again() -> None:
    assert topics_again([answer("2026-01-01", 1.0), answer("2026-01-02", 0.5)]) == []


def test_distances_grow_while_it_is_right_and_shrink_when_it_is_missed() -> None:
    own, day, gaps = [answer("2026-01-01", 0.0)], "2026-01-01", []
    for _ in range(5):
        due = one(own).due
        gaps.append((date.fromisoformat(due) - date.fromisoformat(day)).days)
        day = due
        own.append(answer(day, 1.0))
    assert gaps == sorted(gaps)
    assert gaps[0] == 1
    assert gaps[-1] >= 10
    own[-1] = answer(day, 0.0)
    again = one(own)
    assert date.fromisoformat(again.due) - date.fromisoformat(day) < timedelta(days=gaps[-1])
    assert (again.answers, again.missed) == (6, 2)


def test_right_but_unsure_comes_sooner_than_right() -> None:
    missed = answer("2026-01-01", 0.0)
    dues = [one([missed, answer("2026-01-02", 1.0, sure=sure)]).due for sure in (0.3, 0.9)]
    assert dues[0] <= dues[1]
    later = [
        one([missed, answer("2026-01-02", 1.0), answer("2026-01-06", 1.0, sure=sure)]).due
        for sure in (0.3, 0.9)
    ]
    assert later[0] < later[1]


def test_topics_come_in_the_order_of_their_days() -> None:
    own = [answer("2026-01-03", 0.0, topic="crest"), answer("2026-01-01", 0.0, topic="overlap")]
    assert [each.topic for each in topics_again(own)] == ["overlap", "crest"]
