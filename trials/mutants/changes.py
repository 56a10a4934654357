"""The small bugs: what can be wrong with one node of a syntax tree."""

import ast
import copy
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

Change = tuple[str, ast.expr | ast.AugAssign]

TURNED = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
BOUNDS = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
RENAMED = {
    "sin": ("angle", "cos"),
    "cos": ("angle", "sin"),
    "arcsin": ("angle", "arccos"),
    "arccos": ("angle", "arcsin"),
    "std": ("power", "var"),
    "var": ("power", "std"),
    "floor": ("one off", "ceil"),
    "ceil": ("one off", "floor"),
    "mean": ("times", "sum"),
}
EXTREMES = {
    "min": "max",
    "minimum": "maximum",
    "argmin": "argmax",
    "nanmin": "nanmax",
    "max": "min",
    "maximum": "minimum",
    "argmax": "argmin",
    "nanmax": "nanmin",
}
DROPPED = {
    "sqrt": "power",
    "square": "power",
    "abs": "sign",
    **dict.fromkeys(("deg2rad", "rad2deg", "radians", "degrees"), "unit"),
}
UNITS = {0.001, 0.01, 0.1, 10, 100, 1000, 1e4, 1e6, 60, 180, 365}
WHOLE_OPTIONS = {
    ("axis", "0"): 1,
    ("axis", "1"): 0,
    ("axis", "-1"): 0,
    ("axis", "-2"): -1,
    ("ddof", "1"): 0,
}
EVEN = {"abs", "cos", "hypot", "norm", "square"}
"""Functions that a turned sign does not change."""

SIDES = [
    *[("upper", "lower"), ("right", "left"), ("mesial", "distal"), ("buccal", "lingual")],
    *[("front", "back"), ("low", "high"), ("first", "last"), ("long", "short")],
    *[("across", "down"), ("width", "height"), ("horizontal", "vertical"), ("rows", "columns")],
    *[("before", "after"), ("top", "bottom"), ("up", "down"), ("forward", "height")],
]
NAME = re.compile("[a-z_.]+")
"""A text that names something, and is not said to anybody."""

NUMBERS = ("float", "int", "Floats", "Ints", "NDArray", "Image", "Codes", "ArrayLike")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """An expression or augmented assignment where it stands.

    ``parent`` and ``field``: what it is part of. ``visible``: names bound where it stands.
    """

    node: ast.expr | ast.AugAssign
    parent: ast.AST
    field: str
    function: str
    visible: frozenset[str]


@dataclass(frozen=True, slots=True)
class Known:
    """What all modules define.

    ``parameters``: with their types, by the name of a function or class that only one thing has.
    ``pairs``: the two sides of something, both members of one class.
    """

    parameters: Mapping[str, tuple[tuple[str, str], ...]]
    pairs: frozenset[tuple[str, str]]


def known_of(trees: Iterable[ast.Module]) -> Known:
    """Read the signatures of every function and class that has a name of its own."""
    found: dict[str, list[tuple[tuple[str, str], ...]]] = {}
    pairs: set[tuple[str, str]] = set()
    for node in (node for tree in trees for node in ast.walk(tree)):
        if isinstance(node, ast.FunctionDef):
            taken = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
            named = [(a.arg, ast.unparse(a.annotation)) for a in taken if a.annotation]
            found.setdefault(node.name, []).append(tuple(named))
        elif isinstance(node, ast.ClassDef):
            fields = [each for each in node.body if isinstance(each, ast.AnnAssign)]
            named = [(ast.unparse(each.target), ast.unparse(each.annotation)) for each in fields]
            found.setdefault(node.name, []).append(tuple(named))
            members = {name for name, _ in named} | {
                ast.unparse(each.targets[0]) if isinstance(each, ast.Assign) else each.name
                for each in node.body
                if isinstance(each, ast.Assign | ast.FunctionDef)
            }
            pairs |= {(one, two) for one in members for two in _other_sides(one) if two in members}
    once = {name: each[0] for name, each in found.items() if len(each) == 1}
    return Known(once, frozenset(pairs))


def changes_of(place: Place, known: Known) -> Iterator[Change]:
    """Each bug of one node: its kind, and the node as the bug has it."""
    node = place.node
    if isinstance(node, ast.BinOp):
        yield from _of_operation(node, place)
    elif isinstance(node, ast.AugAssign):
        yield from _of_assignment(node)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        if not (_is_even(place.parent) or _is_index(place)):
            yield "sign", node.operand
    elif isinstance(node, ast.Compare):
        yield from _of_comparison(node)
    elif isinstance(node, ast.Call):
        yield from _of_call(node, place, known)
    elif isinstance(node, ast.Subscript):
        yield from _of_subscript(node)
    elif isinstance(node, ast.IfExp) and not any(map(_is_no_number, (node.body, node.orelse))):
        yield "swap", ast.IfExp(test=node.test, body=node.orelse, orelse=node.body)
    yield from _of_name(node, place, known)


def _of_operation(node: ast.BinOp, place: Place) -> Iterator[Change]:
    if _is_text(node.left) or _is_text(node.right):
        return
    if isinstance(node.op, ast.Pow):
        if _number(node.right) in {2.0, 0.5} or isinstance(node.right, ast.UnaryOp):
            yield "power", node.left
    elif isinstance(node.op, ast.FloorDiv):
        up = ast.parse(
            f"-(-({ast.unparse(node.left)}) // ({ast.unparse(node.right)}))", mode="eval"
        )
        yield "one off", up.body
    elif isinstance(node.op, ast.Mult | ast.Div):
        yield from _of_product(node)
    elif isinstance(node.op, ast.Add | ast.Sub):
        if isinstance(node.right, ast.Constant) and type(node.right.value) is int:
            yield "one off", node.left
            return
        if isinstance(node.op, ast.Sub) and not _is_even(place.parent):
            yield "sign", ast.BinOp(left=node.right, op=ast.Sub(), right=node.left)
        yield "sign", ast.BinOp(left=node.left, op=TURNED[type(node.op)](), right=node.right)


def _of_product(node: ast.BinOp) -> Iterator[Change]:
    for part, other in ((node.right, node.left), (node.left, node.right)):
        if _is_sign(part):
            yield "sign", other
            return
    for part, other in ((node.right, node.left), (node.left, node.right)):
        if _number(part) in UNITS and (part is node.right or isinstance(node.op, ast.Mult)):
            yield "unit", other
    yield "times", ast.BinOp(left=node.left, op=TURNED[type(node.op)](), right=node.right)


def _of_assignment(node: ast.AugAssign) -> Iterator[Change]:
    if type(node.op) in TURNED and not _is_text(node.value):
        kind = "sign" if isinstance(node.op, ast.Add | ast.Sub) else "times"
        turned = TURNED[type(node.op)]()
        yield kind, ast.AugAssign(target=node.target, op=turned, value=node.value)


def _of_comparison(node: ast.Compare) -> Iterator[Change]:
    sides = [node.left, *node.comparators]
    for place, operator in enumerate(node.ops):
        beside = sides[place], sides[place + 1]
        if type(operator) in BOUNDS and any(_is_whole(each) for each in beside):
            changed = copy.deepcopy(node)
            changed.ops[place] = BOUNDS[type(operator)]()
            yield "one off", changed


def _of_call(node: ast.Call, place: Place, known: Known) -> Iterator[Change]:
    name = _called(node)
    if name in DROPPED and len(node.args) == 1 and not node.keywords:
        if not (name == "abs" and _is_even(place.parent)):
            yield DROPPED[name], node.args[0]
    elif name in RENAMED or name in EXTREMES:
        kind, other = RENAMED[name] if name in RENAMED else ("least", EXTREMES[name])
        changed = copy.deepcopy(node)
        if isinstance(changed.func, ast.Attribute):
            changed.func.attr = other
        elif isinstance(changed.func, ast.Name):
            changed.func.id = other
        yield kind, changed
    elif name == "range":
        changed = copy.deepcopy(node)
        last = min(len(changed.args), 2) - 1
        changed.args[last] = ast.BinOp(changed.args[last], ast.Sub(), ast.Constant(1))
        yield "one off", changed
    for k, keyword in enumerate(node.keywords):
        turned = WHOLE_OPTIONS.get((keyword.arg or "", ast.unparse(keyword.value)))
        if turned is not None:
            changed = copy.deepcopy(node)
            changed.keywords[k].value = ast.Constant(turned)
            yield "axis" if keyword.arg == "axis" else "one off", changed
    yield from _swapped(node, name, known)


def _swapped(node: ast.Call, name: str, known: Known) -> Iterator[Change]:
    """Two neighbours of one type exchanged."""
    if name in {"where", "cross", "arctan2", "outer"}:
        yield from _exchanged(node, (1, 2) if name == "where" else (0, 1))
        return
    takes = known.parameters.get(name, ())
    for k in range(min(len(node.args), len(takes)) - 1):
        here, beside = takes[k][1], takes[k + 1][1]
        if here == beside and here.startswith(NUMBERS):
            yield from _exchanged(node, (k, k + 1))
    types = dict(takes)
    for k in range(len(node.keywords) - 1):
        one, other = node.keywords[k], node.keywords[k + 1]
        here, beside = types.get(one.arg or "", "?"), types.get(other.arg or "", "")
        if here == beside and here.startswith(NUMBERS):
            changed = copy.deepcopy(node)
            changed.keywords[k].value = other.value
            changed.keywords[k + 1].value = one.value
            yield "swap", changed


def _exchanged(node: ast.Call, places: tuple[int, int]) -> Iterator[Change]:
    one, other = places
    if len(node.args) <= other or any(isinstance(each, ast.Starred) for each in node.args):
        return
    changed = copy.deepcopy(node)
    changed.args[one], changed.args[other] = changed.args[other], changed.args[one]
    yield "swap", changed


def _of_subscript(node: ast.Subscript) -> Iterator[Change]:
    """Each whole number in an index, or at an end of a slice, one further from nought."""
    if isinstance(node.ctx, ast.Load):
        for k in range(len(_whole_numbers(node.slice))):
            changed = copy.deepcopy(node)
            number = _whole_numbers(changed.slice)[k]
            number.value = number.value + 1  # type: ignore[operator]  # a whole number
            yield "one off", changed


def _whole_numbers(index: ast.AST | None) -> list[ast.Constant]:
    if isinstance(index, ast.Constant):
        return [index] if type(index.value) is int else []
    if isinstance(index, ast.Tuple | ast.Slice | ast.UnaryOp):
        return [each for part in ast.iter_child_nodes(index) for each in _whole_numbers(part)]
    return []


def _of_name(node: ast.AST, place: Place, known: Known) -> Iterator[Change]:
    """The other side of the same thing, if there is one of that name."""
    if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
        for other in _other_sides(node.id):
            if other in place.visible:
                yield "side", ast.Name(id=other, ctx=ast.Load())
    elif isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
        for other in _other_sides(node.attr):
            if (node.attr, other) in known.pairs:
                yield "side", ast.Attribute(value=node.value, attr=other, ctx=ast.Load())
    elif isinstance(node, ast.Constant) and _is_text(node) and NAME.fullmatch(str(node.value)):
        for other in _other_sides(str(node.value)):
            yield "side", ast.Constant(other)


def _other_sides(name: str) -> Iterator[str]:
    for pair in SIDES:
        for here, there in (pair, pair[::-1]):
            for one, other in ((here, there), (here.upper(), there.upper())):
                joint = "." if "." in name else "_"
                words = name.split(joint)
                if one in words:
                    yield joint.join(other if word == one else word for word in words)


def _called(node: ast.AST) -> str:
    if not isinstance(node, ast.Call):
        return ""
    named = node.func
    return named.attr if isinstance(named, ast.Attribute) else getattr(named, "id", "")


def _is_even(parent: ast.AST) -> bool:
    """Whether this has the same value with the sign of what stands in it turned."""
    return _called(parent) in EVEN or (
        isinstance(parent, ast.BinOp)
        and isinstance(parent.op, ast.Pow)
        and _number(parent.right) == 2.0
    )


def _is_index(place: Place) -> bool:
    """Whether a number there is an index, an axis or the end of a slice."""
    is_slice = isinstance(place.parent, ast.Subscript) and place.field == "slice"
    return is_slice or isinstance(place.parent, ast.Slice | ast.keyword)


def _is_sign(node: ast.AST) -> bool:
    text = ast.unparse(node).rsplit(".", 1)[-1].lower()
    return text.endswith("sign") or text in {"side", "outward", "-1.0", "-1", "1", "1.0"}


def _is_whole(node: ast.AST) -> bool:
    return _called(node) == "len" or (isinstance(node, ast.Constant) and type(node.value) is int)


def _is_no_number(node: ast.AST) -> bool:
    return _is_text(node) or (isinstance(node, ast.Constant) and node.value is None)


def _is_text(node: ast.AST) -> bool:
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str | bytes)
    texts = (ast.JoinedStr, ast.List, ast.ListComp, ast.Tuple, ast.Set, ast.Dict)
    return isinstance(node, texts) or _called(node) in {"join", "str", "list", "tuple", "sorted"}


def _number(node: ast.AST) -> float | None:
    if isinstance(node, ast.Constant) and type(node.value) in {int, float}:
        return float(node.value)  # type: ignore[arg-type]  # int or float
    return None


__all__ = ["Known", "Place", "changes_of", "known_of"]
