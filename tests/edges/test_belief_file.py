"""Belief files come back, and wrong ones are refused in one sentence."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.files.belief_file import (
    BeliefContentError,
    belief_to_document,
    read_belief,
    write_belief,
)
from bitewright.files.json_documents import SchemaViolationError
from bitewright.mouth.numbering import Side


def taught() -> MouthBelief:
    before = population(tuple(mean_mouth().teeth))
    generator = np.random.default_rng(2)
    size = len(before.mean)
    root = 0.05 * generator.standard_normal((size, size))
    return replace(
        before,
        side=Side.LEFT,
        mean=generator.standard_normal(size),
        covariance=root @ root.T + 0.3 * np.eye(size),
        films=2,
        learned_from=("0" * 64,),
    )


def test_a_belief_that_names_no_films_is_read(tmp_path: Path) -> None:
    """As files of earlier versions are."""
    document = belief_to_document(taught())
    del document["learned_from"]
    (tmp_path / "b.json").write_text(json.dumps(document), encoding="utf-8")
    assert read_belief(tmp_path / "b.json").learned_from == ()


def test_a_belief_comes_back(tmp_path: Path) -> None:
    belief = taught()
    write_belief(tmp_path / "b.json", belief)
    again = read_belief(tmp_path / "b.json")
    assert (again.teeth, again.side, again.films) == (belief.teeth, belief.side, 2)
    assert again.learned_from == belief.learned_from
    assert np.allclose(again.mean, belief.mean, atol=1e-6)
    assert np.allclose(again.covariance, belief.covariance, atol=1e-6)


def test_spaces_that_have_closed_come_back(tmp_path: Path) -> None:
    """A belief read again had kept the space, and planned for a row that was not there."""
    teeth = tuple(code for code in mean_mouth().teeth if code not in (14, 44))
    belief = replace(population(teeth), closed=(14, 44))
    write_belief(tmp_path / "b.json", belief)
    again = read_belief(tmp_path / "b.json")
    assert again.closed == (14, 44)
    assert (13, 15) in again.mouth().contacts
    assert "closed" not in belief_to_document(population(teeth))


def test_a_tooth_that_is_there_and_whose_space_has_closed_is_refused(tmp_path: Path) -> None:
    document = belief_to_document(taught()) | {"closed": [14]}
    (tmp_path / "b.json").write_text(json.dumps(document))
    with pytest.raises(BeliefContentError, match="present and its space closed"):
        read_belief(tmp_path / "b.json")


def test_directions_of_another_population_are_refused(tmp_path: Path) -> None:
    document = belief_to_document(taught())
    document["directions"][0] = "something else"
    (tmp_path / "b.json").write_text(json.dumps(document))
    with pytest.raises(BeliefContentError, match="learn the belief again"):
        read_belief(tmp_path / "b.json")


def test_a_covariance_that_is_none_is_refused(tmp_path: Path) -> None:
    document = belief_to_document(taught())
    document["covariance_rows"][3][3] = -1.0
    (tmp_path / "b.json").write_text(json.dumps(document))
    with pytest.raises(BeliefContentError, match="not positive"):
        read_belief(tmp_path / "b.json")


def test_a_belief_without_its_mean_is_refused(tmp_path: Path) -> None:
    document = belief_to_document(taught())
    del document["mean"]
    (tmp_path / "b.json").write_text(json.dumps(document))
    with pytest.raises(SchemaViolationError):
        read_belief(tmp_path / "b.json")


@pytest.mark.parametrize("cell", ["x", [], None, 10**400, 1e300])
def test_what_is_no_number_in_the_covariance_is_refused(tmp_path: Path, cell: object) -> None:
    document = belief_to_document(taught())
    document["covariance_rows"][3][1] = cell
    (tmp_path / "b.json").write_text(json.dumps(document))
    with pytest.raises(SchemaViolationError, match="covariance_rows / 3 / 1"):
        read_belief(tmp_path / "b.json")
