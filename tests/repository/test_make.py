"""Every test is run by one target of make and by no other, and CI runs them all."""

import re
import tomllib

from tests.repository.sources import TOP

RULES = (TOP / "Makefile").read_text(encoding="utf-8")
STEPS = ["setup", "lint", "test", "test-rest"]


def recipe(target: str) -> str:
    found = re.search(rf"^{target}:.*\n((?:\t.*\n)+)", RULES, re.MULTILINE)
    assert found is not None, f"there is no make {target}"
    return found[1]


def left_out() -> set[str]:
    found = re.search(r"^LEFT := (.*)$", RULES, re.MULTILINE)
    assert found is not None
    return set(found[1].split(" or "))


def test_what_one_target_leaves_out_the_other_runs() -> None:
    assert re.findall(r'-m "(.*)"', recipe("test")) == ["not ($(LEFT))"]
    assert re.findall(r'-m "(.*)"', recipe("test-rest")) == ["$(LEFT)"]


def test_every_marker_is_left_out_of_the_default_tests() -> None:
    settings = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    markers = settings["tool"]["pytest"]["ini_options"]["markers"]
    assert {marker.partition(":")[0] for marker in markers} == left_out()


def test_examples_in_docstrings_are_run_without_the_tests() -> None:
    (line,) = [line for line in RULES.splitlines() if "--doctest-modules" in line]
    assert line.split("--doctest-modules ")[1] == "src"
    assert line in recipe("test-rest")


def test_continuous_integration_runs_each_once() -> None:
    (line,) = re.findall(r"^for step in (.*); do$", (TOP / ".ci" / "run").read_text(), re.MULTILINE)
    assert line.split() == STEPS
    assert all(recipe(step) for step in STEPS[1:])
