"""A level is believed as answers allow: against beta distributions, drawn answers and by hand."""

import numpy as np
import pytest
from scipy.stats import beta

from bitewright.competence.attempts import Attempt, Skill
from bitewright.competence.item_statistics import item_statistics, topic_statistics
from bitewright.competence.judging import (
    FEWEST,
    Judgement,
    answers_by_skill,
    first_attempts,
    level_of,
    scatter_of,
    standing_of,
)
from bitewright.competence.levels import LevelBelief, believed_level, items_to_settle
from bitewright.competence.rasch import fit_rasch, without_own
from bitewright.competence.school_bar import BarError, bar_of_text
from bitewright.competence.student_course import SureStep, course_of, sureness_of
from bitewright.words.competence import (
    bar_told,
    misconceived_words,
    no_misconception_words,
    no_poor_words,
    standing_words,
    sureness_words,
)


def of_unknown_items(right: int, wrong: int) -> LevelBelief:
    """What answers to items that nobody else had make believe."""
    score = np.r_[np.ones(right), np.zeros(wrong)]
    return believed_level(score, np.zeros(len(score)), np.ones(len(score)))


@pytest.mark.parametrize(("right", "wrong"), [(0, 0), (7, 3), (13, 0), (2, 30)])
def test_with_unknown_items_it_is_the_beta_distribution(right: int, wrong: int) -> None:
    belief, plain = of_unknown_items(right, wrong), beta(right + 1, wrong + 1)
    assert belief.mean == pytest.approx(plain.mean(), abs=2e-3)
    assert belief.chance_of(0.8) == pytest.approx(plain.sf(0.8), abs=5e-3)
    low, high = belief.interval
    assert plain.cdf(high) - plain.cdf(low) == pytest.approx(0.9, abs=5e-3)
    assert high - low <= plain.ppf(0.95) - plain.ppf(0.05) + 5e-3


def test_half_a_score_moves_half_as_far() -> None:
    halves = believed_level(np.full(8, 0.5), np.zeros(8), np.ones(8))
    assert halves.mean == pytest.approx(of_unknown_items(4, 4).mean, abs=1e-9)


def test_scores_that_scatter_less_say_more() -> None:
    """Right and wrong scatter as they do; scores drawn with a fifth of that variance by less."""
    rng = np.random.default_rng(5)
    right = [
        attempt(f"S{who}", f"i{n}", float(rng.random() < 0.7), n)
        for who in range(8)
        for n in range(40)
    ]
    assert scatter_of(answers_by_skill(right)[Skill.NAME]) == 1.0
    # A beta distribution of mean m and a + b = 4 has the variance m (1 - m) / 5.
    graded = [
        attempt(f"S{who}", f"i{n}", float(rng.beta(2.8, 1.2)), n)
        for who in range(8)
        for n in range(40)
    ]
    assert scatter_of(answers_by_skill(graded)[Skill.NAME]) == pytest.approx(0.2, abs=0.06)
    few = [attempt("S1", f"i{n}", 0.5, n) for n in range(2)]
    assert scatter_of(answers_by_skill(few)[Skill.NAME]) > 0.8
    halves, told = np.full(20, 0.5), np.zeros(20)
    wide, narrow = (
        believed_level(halves, told, np.ones(20), scatter=each).interval for each in (1.0, 0.25)
    )
    assert narrow[1] - narrow[0] == pytest.approx(0.5 * (wide[1] - wide[0]), rel=0.1)


def test_right_at_hard_items_counts_for_more() -> None:
    score, sd = np.array([1.0, 1.0, 0.0, 1.0]), np.full(4, 0.2)
    hard, easy = (believed_level(score, np.full(4, d), sd) for d in (1.5, -1.5))
    assert hard.mean > easy.mean + 0.15


def test_how_many_more_would_settle_it() -> None:
    near, far = of_unknown_items(8, 2), of_unknown_items(3, 7)
    more = {name: items_to_settle(of, bar=0.8, sure=0.97, fewest=20)
            for name, of in (("near", near), ("far", far))}  # fmt: skip
    assert more["far"] == 12  # the twelfth is the first looked at with twenty in all
    assert more["near"] is None or more["near"] > more["far"]


def test_nothing_is_said_from_few_items() -> None:
    told = standing_of(of_unknown_items(0, FEWEST - 1), Skill.NAME)
    assert told.chance < 0.001
    assert told.answer is Judgement.CANNOT_TELL
    assert standing_of(of_unknown_items(0, FEWEST), Skill.NAME).answer is Judgement.NOT_YET
    assert standing_of(of_unknown_items(25, 0), Skill.NAME).answer is Judgement.CAN


@pytest.mark.parametrize("bar", [0.0, 0.96, float("nan")])
def test_a_bar_that_is_none_is_refused(bar: float) -> None:
    with pytest.raises(BarError, match="mean score"):
        standing_of(of_unknown_items(1, 1), Skill.NAME, bar=bar)


@pytest.mark.parametrize(
    ("typed", "bar"),
    [("0.8", 0.8), ("0,8", 0.8), (".8", 0.8), ("80%", 0.8), ("80 %", 0.8), (" 82.5% ", 0.825),
     ("80", 0.8), ("5%", 0.05), ("0.05", 0.05), ("95", 0.95)],
)  # fmt: skip
def test_a_bar_may_be_typed_as_a_mean_score_or_a_percentage(typed: str, bar: float) -> None:
    assert bar_of_text(typed) == pytest.approx(bar)
    assert bar_told(bar_of_text(typed)) == f"a bar of {100 * bar:g}% (a mean score of {bar:g})"


@pytest.mark.parametrize(
    "typed", ["0.8%", "1", "8", "4%", "96%", "800", "80%%", "", "high", "nan", "8e1"]
)
def test_what_is_no_bar_either_way_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(BarError, match=r"from 0\.05 to 0\.95, such as 0\.8, or the same as a perc"):
        bar_of_text(typed)


def answers(people: int, items: int, rng: np.random.Generator) -> tuple[np.ndarray, ...]:
    """Answers drawn by the model itself, and the truth."""
    ability, difficulty = rng.normal(1.0, 1.2, people), rng.normal(0.0, 1.0, items)
    person, item = (grid.ravel() for grid in np.mgrid[:people, :items])
    chance = 1.0 / (1.0 + np.exp(difficulty[item] - ability[person]))
    return person, item, (rng.random(len(item)) < chance).astype(float), ability, difficulty


def test_what_was_drawn_by_the_model_is_found_again() -> None:
    person, item, score, ability, difficulty = answers(300, 30, np.random.default_rng(1))
    fit = fit_rasch(person, item, score)
    off = (fit.difficulty - fit.difficulty.mean()) - (difficulty - difficulty.mean())
    assert np.sqrt(np.mean((off / fit.difficulty_sd) ** 2)) == pytest.approx(1.0, abs=0.25)
    assert np.corrcoef(fit.ability, ability)[0, 1] > 0.85
    assert (fit.mean, fit.spread) == pytest.approx((1.0, 1.2), abs=0.35)


def test_leaving_out_the_own_answers_is_as_good_as_fitting_again() -> None:
    person, item, score, _, _ = answers(25, 12, np.random.default_rng(2))
    own = person == 3
    quick, _ = without_own(fit_rasch(person, item, score), item, own=own)
    again = fit_rasch(person[~own] - (person[~own] > 3), item[~own], score[~own])
    assert np.abs(quick - again.difficulty).max() < 0.12


def attempt(student: str, item: str, score: float, minute: int, sure: float = 0.9) -> Attempt:
    """One attempt at what went wrong."""
    return Attempt(
        student=student,
        item=item,
        skill=Skill.NAME,
        topic="overlap",
        score=score,
        sure=sure,
        answered_at=f"2026-01-{1 + minute // 60:02d}T09:{minute % 60:02d}:00Z",
    )


def test_only_the_first_answer_to_an_item_counts() -> None:
    own = [attempt("S1", "a", 0.0, 1), attempt("S1", "a", 1.0, 2), attempt("S1", "b", 1.0, 3)]
    assert first_attempts(own[::-1]) == [own[0], own[2]]


def test_one_student_alone_is_told_by_a_plain_count() -> None:
    own = [attempt("S1", f"i{n}", float(n % 4 > 0), n) for n in range(20)]
    of = answers_by_skill(own)[Skill.NAME]
    plain = of_unknown_items(15, 5)
    assert level_of("S1", of).mean == pytest.approx(plain.mean, abs=0.005)
    blocks = course_of("S1", of)
    assert [block.items for block in blocks] == [10, 10]
    assert blocks[0].low < blocks[0].level < blocks[0].high


def test_item_statistics_by_hand() -> None:
    """Twelve students; the more able one is, the more often right, but at the item "odd"."""
    own = [
        attempt(f"S{who}", f"i{n}", float(who > n + 1), 10 * who + n)
        for who in range(12)
        for n in range(10)
    ] + [attempt(f"S{who}", "odd", float(who < 6), 130 + who, sure=0.95) for who in range(12)]
    found = {each.item: each for each in item_statistics(own)}
    rest = [sum(who > n + 1 for n in range(10)) / 10 for who in range(12)]
    by_hand = np.corrcoef([float(who < 6) for who in range(12)], rest)[0, 1]
    assert found["odd"].discrimination == pytest.approx(by_hand)
    assert found["odd"].is_poor
    assert [each.item for each in found.values() if each.is_poor] == ["odd"]
    assert found["i3"].mean_score == pytest.approx(7 / 12)
    (topic,) = topic_statistics(own)
    assert topic.sure_and_wrong == sum(each.score == 0.0 for each in own)
    (told,) = sureness_of(own)
    assert (told.step, told.answers) == (SureStep.CERTAIN, len(own))
    assert told.mean_score == pytest.approx(np.mean([each.score for each in own]))


def test_how_sure_is_told_step_by_step_and_never_as_a_share() -> None:
    steps = ((0.0, 1.0), (0.5, 1.0), (0.5, 0.0), (1.0, 0.0), (0.8, 0.0))
    own = [
        attempt("S1", f"i{number}", score, number, sure=sure)
        for number, (sure, score) in enumerate(steps)
    ]
    told = {each.step: (each.answers, each.mean_score) for each in sureness_of(own)}
    assert told == {
        SureStep.GUESSING: (1, 1.0),
        SureStep.FAIRLY_SURE: (2, 0.5),
        SureStep.CERTAIN: (2, 0.0),
    }
    said = sureness_words(sureness_of(own))
    assert said == (
        "How sure, and how it came out. Guessing: 1 answer, mean score 100%; fairly sure: 2 "
        "answers, mean score 50%; certain: 2 answers, mean score 0%."
    )
    assert sureness_words(sureness_of([])) == ""


def test_no_more_is_said_of_what_would_settle_it_than_is_known() -> None:
    """From one answer nobody knows that the level is near the bar."""
    one = standing_of(of_unknown_items(1, 0), Skill.NAME)
    assert one.more is None
    said = standing_words(one)
    assert said.endswith("How many more would settle it cannot be told yet.")
    near = standing_of(of_unknown_items(32, 8), Skill.NAME)
    assert (near.answer, near.more) == (Judgement.CANNOT_TELL, None)
    assert standing_words(near).endswith(
        "A hundred more would settle it with a chance of less than 80%."
    )


def test_that_nothing_is_found_says_how_much_there_was_to_find_it_in() -> None:
    few = [attempt("S1", f"i{number}", 0.0, number) for number in range(4)]
    assert no_misconception_words(topic_statistics(few)).startswith("Nothing is told yet")
    assert no_poor_words(item_statistics(few)).startswith("Nothing is told yet")
    right = [attempt("S1", f"i{number}", 1.0, number) for number in range(6)]
    assert no_misconception_words(topic_statistics(right)) == (
        "Of 1 topic with 5 such answers or more, none."
    )
    (topic,) = topic_statistics([attempt("S1", f"i{n}", 0.0, n) for n in range(6)])
    assert misconceived_words(topic) == (
        "Overlap (name what went wrong): of 6 answers with how sure, 6 were sure and wrong."
    )
