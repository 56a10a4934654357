"""Films of one case are alike in aim too: several of them say less of a person."""

import re
from dataclasses import replace

import numpy as np
import pytest

from bitewright.audit.aim_likeness import likeness_of_errors
from bitewright.audit.could_have_missed import POWER, aim_found_from
from bitewright.audit.counted_by import Dimension
from bitewright.audit.design_effect import CORRELATION_SD, USUAL_CORRELATION, DesignEffect
from bitewright.audit.operator_aim import UNCERTAINTY, OperatorAim, operator_aims
from bitewright.audit.pooled_means import pooled_means
from bitewright.exposing.scatter import AimPart
from bitewright.report.audit_charts import aim_figure
from bitewright.report.report_page import cell_words
from bitewright.tasks.audit.audit_documents import aim_document
from bitewright.words.aim import mean_words
from bitewright.words.could_have_missed import aim_missed, aims_missed
from tests.unit.audit.made_logs import made_log

SD = 3.5


def errors(
    means: np.ndarray, cases: int, films: int, likeness: float, rng: np.random.Generator
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Errors, operators and cases: so many cases of so many films of people with these means."""
    person = np.repeat(np.arange(len(means)), cases * films)
    case = np.repeat(np.arange(len(means) * cases), films)
    alike = rng.standard_normal(len(means) * cases)[case]
    apart = rng.standard_normal(len(case))
    return (
        means[person] + SD * (np.sqrt(likeness) * alike + np.sqrt(1 - likeness) * apart),
        person,
        case.astype(np.int32),
    )


def aims(
    means: np.ndarray, cases: int, rng: np.random.Generator, *, likeness: float = 0.3
) -> tuple[OperatorAim, ...]:
    value, person, case = errors(means, cases, 4, likeness, rng)
    log = made_log(
        rejected=np.zeros(len(case)),
        codes={Dimension.OPERATOR: person.tolist()},
        **{
            AimPart.CONTACT_ERROR.value: value,
            UNCERTAINTY[AimPart.CONTACT_ERROR]: np.zeros(len(case)),
        },
    )
    log = replace(
        log,
        labels={**log.labels, Dimension.CASE: tuple(str(k) for k in range(int(case.max()) + 1))},
        codes={**log.codes, Dimension.CASE: case},
    )
    return operator_aims(log, family_chance=0.0125)


@pytest.mark.parametrize("likeness", [0.0, 0.5])
def test_many_cases_show_how_alike_their_films_are(likeness: float) -> None:
    value, person, case = errors(np.zeros(10), 300, 4, likeness, np.random.default_rng(1))
    assert likeness_of_errors(value, person, case).correlation == pytest.approx(likeness, abs=0.05)


def test_how_alike_films_are_is_not_mistaken_where_people_have_few() -> None:
    """Departures from a mean of eight films, themselves alike, hide a part of it."""
    found = []
    for seed in range(40):
        value, person, case = errors(np.zeros(60), 2, 4, 0.3, np.random.default_rng(seed))
        found.append(likeness_of_errors(value, person, case).correlation)
    assert np.mean(found) == pytest.approx(0.3, abs=0.06)


def test_a_record_without_two_films_of_a_case_says_nothing_of_it() -> None:
    value, person, case = errors(np.zeros(5), 30, 1, 0.0, np.random.default_rng(1))
    for where in (case, np.full(len(case), -1, dtype=np.int32)):
        found = likeness_of_errors(value, person, where)
        assert (found.correlation, found.sd) == (USUAL_CORRELATION, CORRELATION_SD)


def test_a_design_effect_of_two_widens_by_the_root_of_two_and_scatter_stays() -> None:
    """Two people far apart and many films: hardly anything but their own films speaks."""
    value, person, _ = errors(np.array([-20.0, 20.0]), 500, 1, 0.0, np.random.default_rng(2))
    sd = np.zeros(len(value))
    plain, wide = (
        pooled_means(
            value, sd, person, 2, AimPart.CONTACT_ERROR,
            clustering=DesignEffect(value=np.full(2, worth)),
        ).estimates
        for worth in (1.0, 2.0)
    )  # fmt: skip
    for narrow, wider in zip(plain, wide, strict=True):
        assert (wider.high - wider.low) / (narrow.high - narrow.low) == pytest.approx(
            np.sqrt(2.0), rel=0.03
        )
        assert wider.scatter == pytest.approx(narrow.scatter, rel=0.01)


def test_the_scatter_of_films_alike_is_not_taken_for_small() -> None:
    """Six people with two cases of four films each: squares about a mean come to less."""
    found = []
    for seed in range(60):
        value, person, _ = errors(np.zeros(6), 2, 4, 0.5, np.random.default_rng(seed))
        effect = DesignEffect(value=np.full(6, 1.0 + 3 * 0.5))
        means = pooled_means(
            value, np.zeros(48), person, 6, AimPart.CONTACT_ERROR, clustering=effect
        )
        found += [part.scatter**2 for part in means.estimates]
    assert np.sqrt(np.mean(found)) == pytest.approx(SD, rel=0.06)


def test_intervals_of_three_people_hold_with_films_alike_within_patients() -> None:
    rng, held = np.random.default_rng(3), []
    for _ in range(120):
        means = rng.normal(0.0, 1.0, 3)
        parts = [aim.parts[0] for aim in aims(means, 5, rng)]
        held += [part.low <= mean <= part.high for part, mean in zip(parts, means, strict=True)]
    assert np.mean(held) > 0.91


@pytest.mark.slow
def test_somebody_as_far_off_as_told_is_told_in_four_records_of_five() -> None:
    rng, told = np.random.default_rng(4), []
    for _ in range(90):
        means = rng.normal(0.0, 1.0, 5)
        usual = aim_found_from(aims(means, 8, rng)[0])
        assert usual is not None
        means[0] = usual
        told.append(bool(aims(means, 8, rng)[0].remarked))
    assert np.mean(told) == pytest.approx(POWER, abs=0.12)


def test_more_assessed_films_leave_less_to_miss_and_few_leave_all() -> None:
    rng = np.random.default_rng(5)
    found = [aim_found_from(aims(np.zeros(4), cases, rng)[0]) for cases in (1, 4, 40)]
    assert found[0] is None
    assert found[1] is not None
    assert found[2] is not None
    assert found[1] > found[2] > 2.5


def test_what_could_be_missed_is_said_with_the_films_it_rests_on() -> None:
    some = aims(np.zeros(4), 4, np.random.default_rng(6))
    assert "With 16 assessed exposures this could miss a contact error of less than" in aim_missed(
        some[0]
    )
    assert aims_missed(some).startswith("What this could miss: with 16 assessed exposures")
    few = aims(np.zeros(4), 1, np.random.default_rng(6))
    assert aim_missed(few[0]) == ""
    assert aims_missed(few) == "Nobody has 5 assessed exposures: nothing would be said of anybody."


def test_what_was_not_assessed_of_a_person_has_no_figure() -> None:
    """A part of aim nobody assessed once read -0.0 (-4.3 to +4.3)."""
    (one, *_) = aims(np.zeros(3), 5, np.random.default_rng(7))
    contact, vertical = one.parts[:2]
    assert mean_words(contact).endswith(")")
    assert mean_words(vertical) == "not assessed"
    parts = aim_document(one)["parts"]
    assert parts[0]["mean"] is not None
    assert (parts[1]["assessed"], parts[1]["mean"], parts[1]["low"]) == (0, None, None)


@pytest.mark.parametrize(
    ("films", "pattern"), [(3, r"[+-]\d+"), (400, r"[+-]\d+\.\d")], ids=["few", "many"]
)
def test_a_mean_is_told_no_finer_than_its_interval_warrants(films: int, pattern: str) -> None:
    """In words, and in the table beside the chart, which had told hundredths."""
    found = aims(np.full(4, 4.0), films, np.random.default_rng(8))
    one = found[0]
    half = 0.5 * (one.parts[0].high - one.parts[0].low)
    assert (half >= 1.0) is (films == 3)
    told = mean_words(one.parts[0])
    assert re.fullmatch(rf"({pattern}) \({pattern} to {pattern}\)", told)
    figure = aim_figure(found)
    assert figure is not None
    row = next(row for row in figure.rows if row[0] == one.label)
    shown = [cell_words(cell) for cell in row[2:5]]
    assert [float(each) for each in shown] == [float(v) for v in re.findall(r"[+-][\d.]+", told)]
    assert row[6:10] == (None,) * 4
