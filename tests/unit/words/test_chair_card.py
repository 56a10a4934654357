"""What to do if a set-up does not go so, told with chances only where they are alike."""

import pytest

from bitewright.planning.expected_success import Success
from bitewright.planning.ladder import LadderStep, StepKind, Tried
from bitewright.planning.set_up_search import Freedoms
from bitewright.planning.stated_hands import MIDDLING
from bitewright.quality.criteria import Question
from bitewright.words.chair_card import card_words
from tests.sample_corrections import plan_of


@pytest.mark.parametrize(
    ("alike", "said"),
    [(True, "Gags: size 2 sensor (95%)."), (False, "Gags: size 2 sensor.")],
    ids=["of the same mouths and places", "of others"],
)
def test_a_way_out_has_a_chance_beside_it_only_where_it_can_be_compared(
    *, alike: bool, said: str
) -> None:
    plan = plan_of()
    step = LadderStep(
        kind=StepKind.SMALLER,
        of=plan.view,
        receptor=plan.station.receptor,
        holder=plan.station.holder,
        freedoms=Freedoms(),
    )
    other = Tried(
        step=step,
        plan=plan,
        odds={MIDDLING: Success(chance=0.95, error=0.0, shown=1.0, fails_most=())},
        not_shown=(),
    )
    told = card_words(plan, {MIDDLING: 0.87}, (), [other], Question.ENAMEL, others_alike=alike)
    assert said in told.otherwise
    assert ("95%" in "".join(told.otherwise)) is alike
    assert "87%" in told.odds
