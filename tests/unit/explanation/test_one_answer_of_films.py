"""Of films of known exposures, too, verdict, headline, movements and next exposure agree."""

import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.explanation.correction import Verdict
from bitewright.tasks.assess.explain_film import BesideTheMarks, explain_film
from trials.explained_films import Case, film_of
from trials.known_films import SINGLE_FAULTS, Equipment
from trials.quick_readings import assessed

RUN = 981
FAULTS = tuple(SINGLE_FAULTS)
CASES = [
    *(Case(run=RUN, number=number) for number in range(10)),
    *(Case(run=RUN, number=number, fault=FAULTS[number]) for number in range(10)),
]


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.number}-{case.fault}")
def test_a_film_is_told_one_answer(case: Case) -> None:
    """Of 24 films four had been told two: nothing needs to move, and to set up anew."""
    _, film, _, _ = film_of(case)
    beside = BesideTheMarks(known=packaged_catalogue(), tube=Equipment.usual().tube)
    told = explain_film(assessed(film), beside)
    document = told.document()
    answer, explanation = document["answer"], document["explanation"]
    if told.correction is None or told.correction.marks_come_first:
        return
    needed = [each["part"] for each in explanation["movements"] if each["need"] == "move"]
    yes = [row for row in explanation["table"] if row["need"] == "yes"]
    assert len(yes) == len(needed)
    verdict, then = Verdict(explanation["verdict"]), explanation["next"]
    operator = explanation["sentences"]["operator"].lower()
    if verdict is not Verdict.CANNOT_TELL:
        assert bool(needed) is (verdict in {Verdict.MOVE, Verdict.NEARER})
        assert (verdict is Verdict.SET_UP_ANEW) is (then is not None and not needed)
    if then is None:
        assert "set the view up anew" not in f"{operator} {answer['movement'].lower()}"
    else:
        assert ("set the view up anew" in operator) is (then["course"] in {"anew", "fitted"})
    if told.serves:
        assert then is None
        assert verdict is not Verdict.MOVE
        assert answer["movement"].startswith("Nothing needs to move for this film")
    if not told.likely_failed and not needed:
        assert then is None
    if told.likely_failed:
        assert "the same way next time" not in operator
        assert then is not None
