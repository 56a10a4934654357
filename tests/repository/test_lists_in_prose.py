"""What pages list beside the code is what the code has: libraries, extras, keys, faults found."""

import re
import tomllib

from tests.repository.page_tables import page, prose, rows_under, said
from tests.repository.sources import TOP

PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LIGHT_BOX = TOP / "src/bitewright/web/static/light_box/light_box.js"
WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def test_readme_counts_the_libraries_that_the_package_needs() -> None:
    told = said("README.md", "planning, filming, assessing, logging and auditing need: # libraries")
    assert told == [len(PROJECT["dependencies"])]


def test_readme_names_every_extra_for_people_and_counts_them() -> None:
    extras = set(PROJECT["optional-dependencies"]) - {"dev"}
    _, found, rest = prose("README.md").partition(" extras bring more, each asked for by its name")
    assert found
    assert set(re.findall(r"`([a-z]+)`", rest.partition(" in PostgreSQL.")[0])) - {"make"} == extras
    assert f"{WORDS[len(extras)].capitalize()}{found}" in prose("README.md")
    lock = re.search(r"pip compile .* -o requirements\.lock", (TOP / "Makefile").read_text("utf-8"))
    assert lock is not None
    installed = set(re.findall(r"--extra (\w+)", lock[0]))
    of_make, said_so, _ = rest.partition(f"(`make` installs these {WORDS[len(installed)]} too)")
    assert said_so
    assert set(re.findall(r"`([a-z]+)`", of_make)) == installed


def test_the_light_boxs_table_has_the_keys_that_the_page_takes() -> None:
    (listed,) = re.findall(r"^const KEYS = \{(.+)\};$", LIGHT_BOX.read_text("utf-8"), re.MULTILINE)
    taken = set(re.findall(r"(?:^|, )\s*(\w): ", f", {listed.strip()}"))
    assert len(taken) > 10
    cells = [cell for cell, _ in rows_under("docs/light-box.md", "key | does")]
    told = {key.lower() for cell in cells for key in cell.split(", ") if len(key) == 1}
    assert told == taken


def test_faults_that_mutated_inputs_found_add_up() -> None:
    text = "docs/keeping.md"
    (ours,) = said(text, "too long to send. # were ours, all of the command line")
    sorts = said(
        text,
        "a word of 70,000 characters (#), a key that is half a character (#), a backup read from "
        "a device without end (#), a damaged store of which a sentence named another file (#)",
    )
    assert sum(sorts) == ours
    (given,) = said(text, "what nobody would give: # mutated files")
    (asked,) = said(text, "benchmarks.fuzz --inputs # --seed")
    assert asked <= given < 1.01 * asked
    assert page(text).count("mutated files") == 1
