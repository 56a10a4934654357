"""Checklists by fault."""

from bitewright.log.checklists import checklists
from bitewright.log.faults import fault_kinds


def test_every_fault_has_something_to_look_at() -> None:
    assert set(checklists()) == set(fault_kinds())
    assert all(looks for looks in checklists().values())
