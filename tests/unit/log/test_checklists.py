"""Checklists by fault."""

import pytest

from bitewright.log.checklists import (
    NoSuchChecklistError,
    checklists_document,
    own_checklists,
    packaged_checklists,
)
from bitewright.log.faults import fault_kinds


def test_every_fault_has_something_to_look_at_and_a_source() -> None:
    assert set(packaged_checklists()) == set(fault_kinds())
    assert all(each.looks and each.source for each in packaged_checklists().values())


def test_the_table_comes_back_from_its_document() -> None:
    back = own_checklists(checklists_document(packaged_checklists()))
    assert {name: (each.looks, each.source) for name, each in back.items()} == {
        name: (each.looks, each.source) for name, each in packaged_checklists().items()
    }
    assert all(each.is_own for each in back.values())


def test_a_fault_that_there_is_not_is_refused() -> None:
    with pytest.raises(NoSuchChecklistError, match="Did you mean 'cone-cut'"):
        own_checklists({"cone-cutt": {"looks": ["the rim"], "source": "staff"}})
