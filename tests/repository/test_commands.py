"""The command reference is complete, true and gives something to type."""

import pytest

from builders.commands_page import PAGE, Command, commands, commands_page


def test_the_page_is_what_the_command_line_says() -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert written == commands_page(), "docs/commands.md is out of date: run `make docs`"


def test_every_command_has_help_and_an_example() -> None:
    assert commands(), "the command line has no command"
    silent = [command.words for command in commands() if not command.prose]
    bare = [command.words for command in commands() if not examples_of_its_own(command)]
    assert not silent, f"no help: {silent}"
    assert not bare, f"no line beginning with the command itself in help or epilog: {bare}"


def examples_of_its_own(command: Command) -> list[str]:
    return [line for line in command.examples if f"{line} ".startswith(f"{command.words} ")]


def test_every_option_is_explained() -> None:
    silent = [
        f"{command.words} {entry.name}"
        for command in commands()
        for entry in command.entry.params
        if not getattr(entry, "help", None)
    ]
    assert not silent, f"no help for: {', '.join(silent)}"


@pytest.mark.parametrize("word", ["demo"])
def test_the_commands_other_files_rely_on_exist(word: str) -> None:
    assert f"bitewright {word}" in [command.words for command in commands()]
