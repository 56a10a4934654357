"""Targets of two schemes on students' bitewings of 2020."""

from bitewright.audit.targets import TargetStanding, target_standings
from bitewright.quality.rating_schemes import rating_scheme
from tests.published.against import check, read_source

SOURCE = read_source("student_bitewings_2020")


def computed() -> dict[str, float]:
    now, earlier = rating_scheme("uk-2020"), rating_scheme("uk-2001")
    two, three = {"A": 210, "N": 30}, {"1": 39, "2": 171, "3": 30}
    grades = {each.grade: each for each in target_standings(three, earlier)}
    return {
        "excellent": 100 * grades["1"].share.share,
        "acceptable in the second grade": 100 * grades["2"].share.share,
        "unacceptable": 100 * grades["3"].share.share,
        "targets of 2020, digital, fallen short of": short(target_standings(two, now)),
        "targets of 2020, film, fallen short of": short(target_standings(two, now, film=True)),
        "targets of 2001 fallen short of": short(tuple(grades.values())),
    }


def short(standings: tuple[TargetStanding, ...]) -> int:
    return sum(each.falls_short for each in standings)


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
