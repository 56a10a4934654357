"""Where the arithmetic of a module can be wrong, and how: each place with one small bug.

Kinds: a sign, times for divided by, a square root, a unit, an angle, an axis, a side (upper for
lower, mesial for distal), one off, least for greatest, one thing for another of its type.

Left alone: docstrings, messages and whatever stands in a `raise`, an error's own text, annotations,
decorators, f-strings, joined texts and lists, ``__all__``. So are bugs that cannot show by how they
are made: a factor that is only a sign is dropped and not divided by; differences under an absolute
value, a square, a cosine or a length are not turned round; ``<`` is exchanged with ``<=`` only
beside a whole number or a length.
"""

import ast
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from trials.mutants.changes import Known, Place, changes_of

SKIPPED_FIELDS = {"annotation", "returns", "decorator_list", "type_params", "bases"}
SKIPPED_NODES = (ast.Raise, ast.JoinedStr, ast.Import, ast.ImportFrom, ast.Assert)


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One bug that can be planted.

    Parameters
    ----------
    module : str
        Such as "bitewright.audit.cusum".
    function : str
        Qualified name in its module; "" at the module's top.
    kind : str
    before, after : str
        What stands there and what the bug makes of it.
    occurrence : int
        Which of several alike in the function, in order, from 0.
    start, end : (line, column)
        As `ast` counts, columns in UTF-8 bytes.
    """

    module: str
    function: str
    kind: str
    before: str
    after: str
    occurrence: int
    start: tuple[int, int]
    end: tuple[int, int]

    @property
    def package(self) -> str:
        """The package the module stands in."""
        return self.module.split(".")[1]

    @property
    def identity(self) -> tuple[str, ...]:
        """What names this bug as long as its function has it, wherever its figures are kept."""
        texts = (plain(self.before), plain(self.after))
        return (self.module, self.function, self.kind, *texts, str(self.occurrence))


def sites_of(source: str, module: str, known: Known) -> list[Site]:
    """Every bug that can be planted into a module, in the order of its text."""
    found: list[Site] = []
    counted: Counter[tuple[str, ...]] = Counter()
    for place in _places(ast.parse(source)):
        node = place.node
        before = ast.unparse(node)
        for kind, changed in changes_of(place, known):
            after = ast.unparse(changed)
            alike = (place.function, kind, plain(before), plain(after))
            if before == after:
                continue
            found.append(
                Site(
                    module=module,
                    function=place.function,
                    kind=kind,
                    before=before,
                    after=after,
                    occurrence=counted[alike],
                    start=(node.lineno, node.col_offset),
                    end=(node.end_lineno or 0, node.end_col_offset or 0),
                )
            )
            counted[alike] += 1
    return found


def planted(source: str, site: Site) -> str:
    """The module's text with the bug in it; every other line stays where it is."""
    lines = source.encode().splitlines(keepends=True)
    (first, left), (last, right) = site.start, site.end
    head = b"".join(lines[: first - 1]) + lines[first - 1][:left]
    tail = lines[last - 1][right:] + b"".join(lines[last:])
    further = "\n" * (last - first)
    is_statement = isinstance(ast.parse(site.after).body[0], ast.AugAssign)
    bug = f"{site.after}{further}" if is_statement else f"({site.after}{further})"
    return (head + bug.encode() + tail).decode()


def plain(text: str) -> str:
    """An expression with each name cut to its last part in small letters.

    So a figure is the same as ``BLUR_MM``, as ``settings.blur_mm`` and as ``table["blur_mm"]``.
    """
    return ast.unparse(_LastNames().visit(ast.parse(text)))


class _LastNames(ast.NodeTransformer):
    def visit_Attribute(self, node: ast.Attribute) -> ast.AST:
        return ast.Name(id=node.attr.lower())

    def visit_Name(self, node: ast.Name) -> ast.AST:
        return ast.Name(id=node.id.lower())

    def visit_Subscript(self, node: ast.Subscript) -> ast.AST:
        if isinstance(node.slice, ast.Constant) and isinstance(node.slice.value, str):
            return ast.Name(id=node.slice.value.lower())
        return self.generic_visit(node)


def _places(tree: ast.Module) -> Iterator[Place]:
    """Expressions and augmented assignments, in the order of the text."""

    def walk(node: ast.AST, function: str, visible: frozenset[str]) -> Iterator[Place]:
        for name, value in ast.iter_fields(node):
            if name in SKIPPED_FIELDS:
                continue
            for child in value if isinstance(value, list) else [value]:
                if not isinstance(child, ast.AST) or _is_skipped(child):
                    continue
                inner, seen = function, visible
                if isinstance(child, ast.FunctionDef | ast.ClassDef):
                    inner = f"{function}.{child.name}".lstrip(".")
                if isinstance(child, ast.FunctionDef):
                    seen = visible | _bound(ast.walk(child))
                if isinstance(child, ast.expr | ast.AugAssign):
                    yield Place(
                        node=child, parent=node, field=name, function=function, visible=visible
                    )
                yield from walk(child, inner, seen)

    yield from walk(tree, "", _bound(tree.body))


def _bound(nodes: Iterable[ast.AST]) -> frozenset[str]:
    """Names that these statements, or those walked through, bind."""
    names: set[str] = set()
    for node in nodes:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.arg):
            names.add(node.arg)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            names.add(node.id)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names |= {each.id for each in targets if isinstance(each, ast.Name)}
        elif isinstance(node, ast.ImportFrom):
            names |= {each.asname or each.name for each in node.names}
    return frozenset(names)


def _is_skipped(node: ast.AST) -> bool:
    if isinstance(node, SKIPPED_NODES):
        return True
    if isinstance(node, ast.ClassDef):
        return node.name.endswith("Error")
    if isinstance(node, ast.Assign):
        return any(isinstance(t, ast.Name) and t.id == "__all__" for t in node.targets)
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


__all__ = ["Site", "plain", "planted", "sites_of"]
