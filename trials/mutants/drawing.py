"""Which bugs are planted: drawn by seed, and thought of by hand.

Places are ranked by a hash of seed, function, kind and text, so that an edit elsewhere changes
nothing. What was drawn is kept in drawn.csv; where a place is gone since, the next in rank comes
in. Every package gives as many bugs as its arithmetic is large, ten at least.
"""

import ast
import csv
import hashlib
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from trials.mutants.changes import known_of
from trials.mutants.sites import Site, plain, planted, sites_of

SEED = 1
DRAWN = {
    "audit": 27,
    "quality": 10,
    "marking": 10,
    "physics": 10,
    "exposing": 22,
    "estimation": 10,
    "film": 55,
}
"""Bugs by package, those with the quickest tests first."""

HERE = Path(__file__).resolve().parent
TOP = HERE.parents[1]
SOURCE = TOP / "src"
RECORD = HERE / "drawn.csv"
BY_HAND = HERE / "by_hand.toml"
COLUMNS = ("module", "function", "kind", "before", "after", "occurrence")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One bug and the text of its module that has it.

    ``name``: what results are kept under. ``is_drawn``: by seed, else thought of by hand.
    """

    name: str
    module: str
    function: str
    kind: str
    before: str
    after: str
    text: str
    is_drawn: bool

    @property
    def package(self) -> str:
        """The package its module stands in."""
        return self.module.split(".")[1]


class GoneError(Exception):
    """The text in which a bug thought of by hand is planted is not there any more."""


def mutants() -> list[Mutant]:
    """Those by hand, then those drawn; drawn.csv is brought up to date."""
    known = [site for package in DRAWN for site in package_sites(package)]
    drawn = draw(known, recorded())
    write(drawn)
    return [*by_hand(), *(_of_site(site) for site in drawn)]


def package_sites(package: str) -> list[Site]:
    """Every bug that can be planted into a package."""
    trees = (ast.parse(path.read_text("utf-8")) for path in sorted(SOURCE.rglob("*.py")))
    known = known_of(trees)
    folder = SOURCE / "bitewright" / package
    return [
        site
        for path in sorted(folder.glob("*.py"))
        for site in sites_of(path.read_text("utf-8"), f"bitewright.{package}.{path.stem}", known)
    ]


def draw(
    known: Iterable[Site],
    kept: Iterable[tuple[str, ...]],
    wanted: Mapping[str, int] = DRAWN,
    seed: int = SEED,
) -> list[Site]:
    """As many bugs of each package as are wanted: those kept, then the lowest in rank.

    Parameters
    ----------
    known : iterable of Site
    kept : iterable of identities
        Drawn before; those not among the known are passed over.
    wanted : mapping of package to number
    seed : int
    """
    of_package: dict[str, list[Site]] = defaultdict(list)
    for site in known:
        of_package[site.package].append(site)
    before = set(kept)
    drawn: list[Site] = []
    for package, count in wanted.items():
        ranked = sorted(
            of_package[package], key=lambda site: (site.identity not in before, rank(site, seed))
        )
        taken: dict[tuple[object, ...], Site] = {}
        for site in ranked:
            if len(taken) < count:
                taken.setdefault((site.module, site.start, site.end), site)
        drawn += sorted(taken.values(), key=lambda site: (site.module, site.start))
    return drawn


def rank(site: Site, seed: int) -> str:
    """A number as good as drawn, from seed and identity alone."""
    return hashlib.sha256("|".join((str(seed), *site.identity)).encode()).hexdigest()


def recorded() -> list[tuple[str, ...]]:
    """Identities of what was drawn."""
    if not RECORD.exists():
        return []
    with RECORD.open(encoding="utf-8", newline="") as file:
        rows = [tuple(row[name] for name in COLUMNS) for row in csv.DictReader(file)]
    return [(*row[:3], plain(row[3]), plain(row[4]), row[5]) for row in rows]


def write(drawn: Iterable[Site]) -> None:
    """Keep what was drawn."""
    with RECORD.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows([getattr(site, name) for name in COLUMNS] for site in drawn)


def by_hand() -> list[Mutant]:
    """The bugs of by_hand.toml.

    Raises
    ------
    GoneError
        If the text to be changed is not found just once in its function.
    """
    found = []
    for name, row in tomllib.loads(BY_HAND.read_text("utf-8"))["mutant"].items():
        source = path_of(row["module"]).read_text("utf-8")
        whole = _function_text(source, row["function"])
        if source.count(whole) != 1 or whole.count(row["before"]) != 1:
            raise GoneError(f"{name}: '{row['before']}' is not found once in {row['function']}")
        changed = whole.replace(row["before"], row["after"])
        found.append(
            Mutant(
                name=name,
                module=row["module"],
                function=row["function"],
                kind="by hand",
                before=row["before"],
                after=row["after"],
                text=source.replace(whole, changed),
                is_drawn=False,
            )
        )
    return found


def path_of(module: str) -> Path:
    """The file of a module."""
    return SOURCE.joinpath(*module.split(".")).with_suffix(".py")


def _of_site(site: Site) -> Mutant:
    return Mutant(
        name="|".join(site.identity),
        module=site.module,
        function=site.function,
        kind=site.kind,
        before=site.before,
        after=site.after,
        text=planted(path_of(site.module).read_text("utf-8"), site),
        is_drawn=True,
    )


def _function_text(source: str, function: str) -> str:
    """The text of a function; a method by class and name."""
    node: ast.AST = ast.parse(source)
    for part in function.split("."):
        inner = ast.iter_child_nodes(node)
        node = next(each for each in inner if getattr(each, "name", None) == part)
    return ast.get_source_segment(source, node) or ""


__all__ = ["DRAWN", "SOURCE", "TOP", "GoneError", "Mutant", "draw", "mutants", "path_of"]
