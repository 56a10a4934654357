"""One public name, one meaning: no two modules define the same function or class."""

import ast
from collections import defaultdict

from tests.repository.sources import named, python_files, tree

SAID_ALIKE = {
    "add_to": "every command's and every page's way into the application",
    "show": "every command's way of printing what its task answers",
    "upgrade": "what the migration library calls in every step",
}


def test_no_public_name_has_two_meanings() -> None:
    places = defaultdict(list)
    for path in python_files("src"):
        for node in tree(path).body:
            kinds = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
            if isinstance(node, kinds) and not node.name.startswith("_"):
                places[node.name].append(named(path))
    twice = {
        name: where for name, where in places.items() if len(where) > 1 and name not in SAID_ALIKE
    }
    assert not twice, "\n".join(f"{name}: {', '.join(where)}" for name, where in twice.items())
