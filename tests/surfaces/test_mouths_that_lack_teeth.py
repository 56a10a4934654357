"""A view of which no contact is left in a mouth is planned and predicted like any other."""

import json
from pathlib import Path

import pytest

from tests.surfaces.test_command_line import refusal, said

GIVEN = ("--view", "left-molar", "--receptor", "plate-2")


@pytest.fixture
def no_first_molars(tmp_path: Path) -> tuple[str, str]:
    path = tmp_path / "mouth.toml"
    path.write_text('format = "bitewright.mouth/1"\nname = "m"\nabsent = [16, 26, 36, 46]\n')
    return "--mouth", str(path)


def test_a_view_without_a_contact_is_predicted_and_its_direction_is_told_of_none(
    no_first_molars: tuple[str, str],
) -> None:
    text = " ".join(said("predict", *GIVEN, *no_first_molars).split())
    assert "tube from the contacts' open direction no contact of the view is left" in text
    document = json.loads(said("predict", *GIVEN, *no_first_molars, "--json"))
    assert document["contacts"] == []
    assert document["contact_error_deg"] is None
    told = refusal("predict", *GIVEN, *no_first_molars, "--contact-error", "3")
    assert "No contact of the left molar view is left in this mouth" in told


@pytest.mark.slow
def test_a_view_without_a_contact_is_planned(no_first_molars: tuple[str, str]) -> None:
    planned = json.loads(said("plan", *GIVEN, *no_first_molars, "--json"))
    assert planned["contacts"] == []
    assert planned["contact_error_deg"] is None
