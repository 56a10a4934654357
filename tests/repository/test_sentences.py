"""What a result means is said in `words` alone: elsewhere stand numbers, keys and names.

Left where they are: what is raised, for an error's sentence stays with its check, and what is
called `allowed`, which errors say; what a column or an option means (`says`, `help`), and examples
of a command; headings; where a figure is from (`source`); what long work is at (`begin`).
"""

import ast
import re
from collections.abc import Iterator

import pytest

from tests.repository.sources import named, package_of, python_files, science_files, tree

FEWEST_WORDS = 4
"""So many words are a sentence, values put into them counted; two of them must be written out."""

ALLOWED = "allowed"
OF_ERRORS_AND_HELP = {ALLOWED, "advice", "says", "help", "source"}
HEADINGS = {"title", "heading"}
EXAMPLE = re.compile(r"\W*(?:Example:\s*)?bitewright ")
TOLD_AT_WORK = {"begin", "LongWork", "told_on"}
WORD = re.compile(r"\W*(?!(?:mm|deg|kV|mA)\b)(?:[A-Za-z][A-Za-z'-]+|a)\W*")
VALUE = "\0"
SCIENCE = [path for path in science_files() if package_of(path) != "words"]
MARKUP = {"svg.py", "typeset.py"}
"""Files of the report that write a drawing's own language."""

HELP_OF_COMMANDS = "on_demand.py"
COMMANDS = [path for path in python_files("src/bitewright/cli") if path.name != HELP_OF_COMMANDS]
REPORT = [path for path in python_files("src/bitewright/report") if path.name not in MARKUP]
TASKS = python_files("src/bitewright/tasks")


def test_no_sentence_lies_outside_words() -> None:
    found = [
        f"{named(path)}:{line}: {text}"
        for path in [*SCIENCE, *TASKS, *REPORT, *COMMANDS]
        for line, text in sentences(tree(path))
    ]
    assert not found, "to `words` with:\n" + "\n".join(found)


def sentences(node: ast.AST, raised: frozenset[str] = frozenset()) -> Iterator[tuple[int, str]]:
    """Line and text of every sentence under a node; ``raised``: names that errors are made of."""
    if is_of_errors_or_help(node, raised):
        return
    if isinstance(node, ast.FunctionDef):
        raised |= names_raised(node)
    text = literal(node)
    if text is not None:
        if is_sentence(text):
            yield node.lineno, text.replace(VALUE, "{}")  # type: ignore[attr-defined]
        return
    over_headings = isinstance(node, ast.For) and ast.unparse(node.target) in HEADINGS
    for inner in node.body if over_headings else ast.iter_child_nodes(node):  # type: ignore[attr-defined]
        yield from sentences(inner, raised)


def literal(node: ast.AST) -> str | None:
    """The text of a literal, with a sign for each value put into it; None for anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(literal(part) or VALUE for part in node.values)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        sides = [literal(side) for side in (node.left, node.right)]
        return None if sides == [None, None] else "".join(side or VALUE for side in sides)
    return None


def is_sentence(text: str) -> bool:
    """Whether a person would read it as one; a unit is no word."""
    if EXAMPLE.match(text):
        return False
    tokens = re.sub(r"\[[^]]*\]", "", text).split()
    written = sum(WORD.fullmatch(token) is not None for token in tokens)
    return written >= 2 and written + sum(VALUE in token for token in tokens) >= FEWEST_WORDS


def is_of_errors_or_help(node: ast.AST, raised: frozenset[str]) -> bool:
    """Whether what stands under a node is a docstring, an error's or an option's own words."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    if isinstance(node, ast.Raise) or (isinstance(node, ast.ClassDef) and "Error" in node.name):
        return True
    if isinstance(node, ast.Call):
        return called(node) in TOLD_AT_WORK
    if isinstance(node, ast.keyword):
        return node.arg in OF_ERRORS_AND_HELP | HEADINGS
    return any(
        name in raised or name in HEADINGS or ALLOWED in name.lower() for name in names_made(node)
    )


def called(call: ast.Call) -> str:
    """The bare name of what is called."""
    return ast.unparse(call.func).rpartition(".")[2]


def names_made(node: ast.AST) -> list[str]:
    """What a function or a value is called where it is made."""
    if isinstance(node, ast.FunctionDef):
        return [node.name]
    if isinstance(node, ast.Assign | ast.AnnAssign):
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        return [target.id for target in targets if isinstance(target, ast.Name)]
    return []


def names_raised(function: ast.FunctionDef) -> frozenset[str]:
    """Names that stand in what a function raises."""
    raises = (each for each in ast.walk(function) if isinstance(each, ast.Raise))
    return frozenset(
        name.id for each in raises for name in ast.walk(each) if isinstance(name, ast.Name)
    )


@pytest.mark.parametrize(
    "text",
    [
        'x = "the tube stood too far"',
        'x = f"{count} contacts of the view"',
        'def said():\n    return "every contact" + " is open"',
        'KEYS = {1: "receptor further to the front"}',
    ],
)
def test_a_sentence_is_found(text: str) -> None:
    assert list(sentences(ast.parse(text)))


@pytest.mark.parametrize(
    "text",
    [
        '"""A docstring may be as long as it likes."""',
        'X = 1\n"""What it is, and our choice."""',
        'raise ValueError("give a number that is one")',
        'def f():\n    problem = "there is no such thing"\n    raise OtherError(problem)',
        'class TooFarError(Exception):\n    x = "this is too far for that"',
        'f(allowed="a number from 1 to 9")',
        'self.begin("surfaces of bone and gum")',
        'def _allowed(code):\n    return f"one of {code} or of what it holds"',
        'x = "tube-too-far-forward"',
        'x = f"{a} {b} {c} {d}"',
        'x = "total filtration [mm Al]"',
        'x = f"{a} x {b} x {c} mm"',
        'Table(title="Room for each movement")',
        'for heading in ("contact", "open with the tube"):\n    table.add_column(heading)',
        'EXAMPLE = "bitewright log name list"',
    ],
)
def test_errors_help_and_keys_are_left_alone(text: str) -> None:
    assert not list(sentences(ast.parse(text)))
