"""Rules from grade to decision, such as "reject 3, remark 2"."""

import re
from collections.abc import Mapping
from dataclasses import replace

from bitewright.sheets.cells import plain
from bitewright.sheets.grade_words import THREE, TWO
from bitewright.sheets.grades import OWN, GradeMeanings, grade_word

LIMIT = re.compile(
    r"reject (?P<side>below|above) (?P<at>\d+(?:[.,]\d+)?)\s*%?"
    r"(?:,\s*fair (?P=side) (?P<fair>\d+(?:[.,]\d+)?)\s*%?)?"
)
NO_GRADE = "unknown"
"""What a rule says of a mark that is no grade of the scale: "reject C, unknown D"."""


def decision_rules(grades: GradeMeanings) -> tuple[str, ...]:
    """Rules from grade to decision to choose among, the likeliest first, "undecided" last."""
    if grades.limits:
        return (*(f"reject below {limit:g}" for limit in grades.limits), "undecided")
    order = grades.worst_first
    rules = []
    if order:
        worst = [word for word in order if grades.ratings[word] in {f"{TWO}:N", f"{THREE}:3"}]
        is_beside = worst and grades.ratings[order[0]].startswith(f"{OWN}:")
        first = [*worst, order[0]] if is_beside else worst or [order[0]]
        rules.append(f"reject {' '.join(map(_shown, first))}")
        rest = [word for word in order if word not in first]
        if len(rest) > 1:
            rules.append(f"{rules[0]}, remark {_shown(rest[0])}")
            rules.append(f"reject {' '.join(map(_shown, [*first, rest[0]]))}")
        if len(rest) > 3:
            rules.append(f"reject {' '.join(map(_shown, [*first, *rest[:2]]))}")
    return (*rules, "undecided")


def _shown(word: str) -> str:
    return (word.upper() if len(word) == 1 else word).replace(" ", "_")


def decided_by_rule(rule: str, word: str, same: Mapping[str, str]) -> str | None:
    """The decision that a rule such as "reject 3, remark 2" takes for a grade's plain word.

    ``same``: inflections that are one grade.
    """
    if plain(rule) == "undecided":
        return None
    limit = LIMIT.fullmatch(rule.strip())
    if limit is not None:
        return _by_limit(limit, word)
    kept = same.get(word, word)
    for part, decision in (("reject", "rejected"), ("remark", "accepted-with-a-remark")):
        for piece in rule.split(","):
            name, *grades = piece.split() or [""]
            found = {same.get(each, each) for each in map(plain_grade, grades)}
            if plain(name) == part and kept in found:
                return decision
    return "accepted"


def _by_limit(limit: re.Match[str], word: str) -> str | None:
    try:
        number = float(word)
    except ValueError:
        return None
    at = float(limit["at"].replace(",", "."))
    is_out = number < at if limit["side"] == "below" else number > at
    return "rejected" if is_out else "accepted"


def banded(rule: str, word: str) -> str | None:
    """The grade of a number by a rule such as "reject below 60, fair below 80"; else None."""
    limit = LIMIT.fullmatch(rule.strip())
    if limit is None or limit["fair"] is None:
        return None
    number, sign = float(word), 1 if limit["side"] == "below" else -1
    for name, at in (("poor", limit["at"]), ("fair", limit["fair"])):
        if sign * number < sign * float(at.replace(",", ".")):
            return f"{OWN}:{name}"
    return f"{OWN}:good"


def plain_grade(name: str) -> str:
    """A grade of a rule as `grade_word` gives it."""
    return grade_word(name.replace("_", " "))


def is_rule(rule: str, grades: GradeMeanings) -> bool:
    """Whether a text is a rule for these grades."""
    if plain(rule) == "undecided":
        return True
    if grades.limits:
        return LIMIT.fullmatch(rule.strip()) is not None
    pieces = [piece.split() for piece in rule.split(",")]
    return all(
        len(names) > 1
        and (
            plain(names[0]) == NO_GRADE
            or (
                plain(names[0]) in {"reject", "remark"}
                and all(plain_grade(name) in grades.ratings for name in names[1:])
            )
        )
        for names in pieces
    )


def without_unknown(grades: GradeMeanings, rule: str) -> GradeMeanings:
    """Grades without those that a rule such as "reject C, unknown D" says are none."""
    none = {
        plain_grade(name)
        for names in (piece.split() for piece in rule.split(","))
        if names and plain(names[0]) == NO_GRADE
        for name in names[1:]
    }
    return replace(
        grades,
        ratings={word: held for word, held in grades.ratings.items() if word not in none},
        worst_first=tuple(word for word in grades.worst_first if word not in none),
    )


__all__ = [
    "banded",
    "decided_by_rule",
    "decision_rules",
    "is_rule",
    "without_unknown",
]
