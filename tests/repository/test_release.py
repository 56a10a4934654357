"""One version, said alike everywhere, and a lock that belongs to it."""

import re
import tomllib

import pytest

import bitewright
from tests.repository.sources import TOP

PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LOCKS = ("requirements.lock", "requirements-dev.lock")


def test_package_and_project_have_the_same_version() -> None:
    assert bitewright.__version__ == PROJECT["version"]


def test_citation_has_the_version() -> None:
    citation = (TOP / "CITATION.cff").read_text(encoding="utf-8")
    assert f"\nversion: {PROJECT['version']}\n" in citation


def test_changelog_tells_of_the_version() -> None:
    changelog = (TOP / "CHANGELOG.md").read_text(encoding="utf-8")
    assert f"\n## [{PROJECT['version']}]" in changelog


def test_licence_is_the_whole_text() -> None:
    licence = (TOP / "LICENSE").read_text(encoding="utf-8")
    assert "Version 2.0, January 2004" in licence
    assert "END OF TERMS AND CONDITIONS" in licence


def test_few_libraries_are_required() -> None:
    """Our choice of how many: what only some need is an extra, what only we need is in dev."""
    assert len(PROJECT["dependencies"]) <= 16


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_holds_every_dependency_with_a_hash(lock: str) -> None:
    pinned = pins(lock)
    wanted = list(PROJECT["dependencies"])
    if "dev" in lock:
        wanted += [each for extra in PROJECT["optional-dependencies"].values() for each in extra]
    names = [re.split(r"[^\w.-]", requirement)[0] for requirement in wanted]
    assert not [name for name in names if name not in pinned]
    assert not [name for name, text in pinned.items() if "--hash=sha256:" not in text]


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_names_no_host_and_no_folder(lock: str) -> None:
    text = (TOP / lock).read_text(encoding="utf-8")
    assert not re.findall(r"https?:|file:|--(?:extra-)?index-url|--find-links", text)


def test_developers_run_what_users_run() -> None:
    users, developers = (versions(lock) for lock in LOCKS)
    assert {name: developers.get(name) for name in users} == users


def versions(lock: str) -> dict[str, list[str]]:
    """Each pinned name with its version, or its versions where platforms differ."""
    text = (TOP / lock).read_text(encoding="utf-8")
    pairs = re.findall(r"^([\w.-]+)==(\S+)", text, re.MULTILINE)
    return {name: [version for other, version in pairs if other == name] for name, _ in pairs}


def pins(lock: str) -> dict[str, str]:
    """Each pinned name of a lock file with all that stands after it."""
    text = (TOP / lock).read_text(encoding="utf-8").replace("\\\n", " ")
    lines = [line for line in text.splitlines() if re.match(r"\w", line)]
    found: dict[str, str] = {}
    for line in lines:
        name, pin = line.split("==", 1)
        found[name] = found.get(name, "") + pin
    return found
