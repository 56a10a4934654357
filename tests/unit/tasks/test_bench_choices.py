"""What can be chosen for a bench's film: handling as it is sent, and what teeth carry."""

import pytest

from bitewright.film.film_faults import FaultName, FilmFault
from bitewright.film.film_kinds import USUAL, Handling
from bitewright.mouth.mouth import mirrored_code
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_parts import PartKind
from bitewright.quality.criteria import Question
from bitewright.quality.questions import OF_NAMED_SURFACES, NamedSurfacesError
from bitewright.tasks.bench.bench_choices import (
    BadHandlingError,
    UnknownFillingsError,
    carrying,
    fault_choices,
    handling_of,
    look_choices,
)
from bitewright.tasks.catalogue.named_mouths import known_mouth
from bitewright.tasks.rated_by import (
    UnknownQuestionError,
    question_choices,
    rated_by_name,
    scheme_choices,
)


def test_nothing_said_is_the_usual_handling() -> None:
    assert handling_of({}) == USUAL
    assert handling_of({"mas": None, "look": "plain", "faults": []}) == USUAL


def test_handling_is_taken_as_it_is_sent() -> None:
    told = handling_of({"mas": 2, "look": "soft", "faults": ["bent", "movement=2", "bent"]})
    faults = (FilmFault(name=FaultName.BENT), FilmFault(name=FaultName.MOVEMENT, size=2.0))
    assert told == Handling(mas=2.0, look="soft", faults=faults)


@pytest.mark.parametrize(
    "given",
    [
        [],
        {"dose": 1},
        {"mas": "2"},
        {"mas": True},
        {"mas": 10**400},
        {"look": 3},
        {"faults": "bent"},
        {"faults": [1]},
        {"faults": ["bent"] * 99},
    ],
)
def test_what_is_no_handling_is_refused_in_one_sentence(given: object) -> None:
    with pytest.raises(BadHandlingError, match="it takes `mas`"):
        handling_of(given)


def test_teeth_carry_what_the_restored_mouth_carries_on_both_sides_or_nothing() -> None:
    restored, bare = known_mouth("restored"), standard_mouth()
    assert carrying(bare, "own") is bare
    assert not any(tooth.parts for tooth in carrying(restored, "none").teeth.values())
    filled = carrying(bare, "restored").teeth
    assert {part.kind for part in filled[46].parts} == {PartKind.CROWN, PartKind.ROOT_FILLING}
    for code, tooth in restored.teeth.items():
        if tooth.parts:
            assert filled[code].parts == filled[mirrored_code(code)].parts == tooth.parts
    with pytest.raises(UnknownFillingsError, match="Did you mean 'none'"):
        carrying(bare, "nome")


def test_every_choice_has_a_title_and_an_explanation() -> None:
    assert {each.name for each in question_choices()} == set(Question) - OF_NAMED_SURFACES
    for each in (*question_choices(), *scheme_choices()):
        assert each.title != each.name
        assert each.says.endswith(".")
    assert "50% of the thinner enamel" in question_choices()[0].says
    assert {each.name for each in fault_choices()} == set(FaultName)
    assert all(each.kinds for each in fault_choices())
    assert set(look_choices()) >= {"plain", "crisp"}
    assert rated_by_name("bone-level", "uk-2001").scheme.title == "UK 2001"
    with pytest.raises(NamedSurfacesError, match="name at least one"):
        rated_by_name("restoration")
    with pytest.raises(UnknownQuestionError, match="Did you mean 'bone-level'"):
        rated_by_name("bone-levl")
