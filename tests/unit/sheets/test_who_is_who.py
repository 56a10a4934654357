"""One person written in several ways: proposed, confirmed by a person, never joined unasked."""

import pytest

from bitewright.sheets.cells import Workbook
from bitewright.sheets.name_spellings import NameLikeness, likeness
from bitewright.sheets.people_asked import people_asked
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.understanding import Understanding, understood
from bitewright.tasks.log.sheet_mapping import given_answers, mapping_document
from tests.unit.sheets.test_understanding import TODAY, made_of, read, sheet

NAMES = """
Date|Chart|Taken by|View|Result
2025-02-03|11|Priya N|BW R|OK
2025-02-03|12|Priya|BW L|OK
2025-02-04|13|Dr Ashworth|BW R|OK
2025-02-04|14|Ashworth|BW L|OK
2025-02-05|15|HL|BW R|OK
2025-02-05|16|Mrs Lindqvist|BW L|OK
2025-02-06|17|Tom|BW L|OK
"""


def answered(text: str, *answers: str) -> Understanding:
    workbook = Workbook(name="audit", digest="", sheets=(sheet(text),))
    return understood(workbook, given_answers(answers), today=TODAY)


def people(made: Understanding) -> list[str]:
    return [each["operator"] for each in read(made)]


@pytest.mark.parametrize(
    ("one", "other", "how"),
    [
        ("Ashworth", "Dr. Ashworth", NameLikeness.LIKELY),
        ("Frau Büttner", "Büttner", NameLikeness.LIKELY),
        ("Herr Weber", "Frau Weber", NameLikeness.NONE),
        ("Mª José", "María José", NameLikeness.LIKELY),
        ("KB", "Kate Brown", NameLikeness.LIKELY),
        ("K. Brown", "Kate Brown", NameLikeness.LIKELY),
        ("Brown, Kate", "Kate Brown", NameLikeness.LIKELY),
        ("CO", "Mr Okafor", NameLikeness.MAY_BE),
        ("Bea", "Beatrice", NameLikeness.LIKELY),
        ("Paco", "Francisco", NameLikeness.LIKELY),
        ("Shaz", "Sharon", NameLikeness.LIKELY),
        ("Kate Brown", "Kate Green", NameLikeness.NONE),
        ("Ashwroth", "Ashworth", NameLikeness.LIKELY),
        ("Marie", "Maria", NameLikeness.MAY_BE),
        ("HYG1", "HYG2", NameLikeness.NONE),
        ("Tom", "Priya", NameLikeness.NONE),
    ],
)
def test_how_much_speaks_for_one_person(one: str, other: str, how: NameLikeness) -> None:
    assert likeness(one, other) is likeness(other, one) is how


def test_nobody_is_joined_before_a_person_says_so() -> None:
    assert len(set(people(made_of(sheet(NAMES))))) == len(people(made_of(sheet(NAMES))))


def test_who_is_who_is_asked_once_for_all() -> None:
    made = answered(NAMES)
    assert Ask.PEOPLE in {each.ask for each in questions_of(made)}
    told = {each.word: each.proposed for each in people_asked(made) if not each.is_known}
    assert told == {"Priya": "Priya N", "Ashworth": "Dr Ashworth", "HL": ""}


def test_those_confirmed_are_one_person_and_those_in_doubt_are_not() -> None:
    first, second, third, fourth, fifth, sixth, seventh = people(
        answered(NAMES, "people=as-proposed")
    )
    assert (first, third) == (second, fourth)
    assert len({first, third, fifth, sixth, seventh}) == 5


def test_a_person_says_of_each_spelling_who_it_is() -> None:
    found = people(
        answered(NAMES, "people=as-proposed", "operator.HL=Mrs Lindqvist", "operator.Priya=nothing")
    )
    assert found[4] == found[5]
    assert found[0] != found[1]


def test_a_name_of_two_people_is_proposed_for_neither() -> None:
    text = NAMES.replace("Mrs Lindqvist", "Anna Weber").replace("HL", "Andreas Weber")
    made = answered(text.replace("Tom", "Weber"))
    assert {each.word: each.proposed for each in people_asked(made)}["Weber"] == ""


def test_who_is_who_is_not_kept_for_the_next_month() -> None:
    made = answered(NAMES, "people=as-proposed", "operator.HL=Mrs Lindqvist", "operator.Tom=T1")
    kept = mapping_document(made)
    assert "people" not in kept["answers"]
    assert kept["words"] == {"operator": {"tom": "T1"}}
