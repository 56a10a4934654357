"""How many of the messy sheets come in right: `python -m trials.messy_sheets [FOLDER]`.

Each sheet of tests/messy_sheets is read with the answers beside it here, at most five, as the
person of its key would give them, and compared with the exposures that its key tells of. Sheets of
another folder are answered by `trials.sheet_answers`, from the exposures themselves. Codes of
people and cases are the sheet's own or made, so they are compared by whether the same stay the
same. A retaken image is one that was not kept, so it agrees with "rejected".
"""

import csv
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from bitewright.errors import BitewrightError
from bitewright.files.workbooks import read_workbook
from bitewright.log.fields import as_text
from bitewright.sheets.cells import Workbook
from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.understanding import Understanding
from bitewright.tasks.log.sheet_mapping import given_answers
from bitewright.tasks.log.understand_sheet import (
    CheckedRow,
    checked_rows,
    proposal_of,
    understand_workbook,
)
from trials.sheet_answers import REFUSED, answers_by_truth

TOP = Path(__file__).resolve().parents[1]
FOLDER = TOP / "tests" / "messy_sheets"
ANSWERS = Path(__file__).with_name("messy_sheet_answers.toml")
SAME = ("operator", "case", "supervisor", "decided_by")
ALSO_RIGHT = {
    "by grade": ("accepted for every film of a usable grade and rejected for the last grade",),
    "by grade if not retaken": ("rejected for a 3 that was not retaken",),
    "decision for grade": ("instead of a grade",),
    "older words": ("read as the older UK wording", "uk-2001:1 to uk-2001:3", "uk-2001:1, 2"),
    "grade beside decision": ("beside the decision",),
    "plainly accepted": ("accepted in place of accepted-with-a-remark",),
    "with a remark": ("accepted with a remark",),
    "no rating": ("rating left out", "rating left empty"),
    "second films": ("kind retake for the second film", "kind retake for the film after"),
}
"""What keys say beside the exposures, in whose words: a decision by the grade where none is told,
a decision in place of a grade, 1, 2 and 3 as a published scheme, a grade told beside the decision,
a remark left out of an acceptance, or put to that of a film with a fault, a grade left out where a
decision stands, second films told as retakes where the key has no kind."""
BY_GRADE = frozenset({"by grade", "by grade if not retaken", "decision for grade", "older words"})
"""Those that take a decision by the grade for right where the key has none."""
COMPARED = ("day", "view", "decision", "rating", "kind", "faults", "operator", "case")


@dataclass(slots=True, kw_only=True)
class Outcome:
    """What became of one sheet."""

    name: str
    expected: int = 0
    right: int = 0
    taken: int = 0
    """Exposures that came in, right or not."""
    differences: Counter[str] = field(default_factory=Counter)
    examples: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)
    extra: list[str] = field(default_factory=list)
    refused: str = ""
    open: tuple[str, ...] = ()
    answers: int = 0
    """Questions answered."""
    said: tuple[str, ...] = ()
    also: frozenset[str] = frozenset()
    """What the key takes for right as well."""
    may_be_refused: bool = False
    may_reject: bool = False

    @property
    def is_right(self) -> bool:
        """Whether every exposure is there as it should be, none too many, with few answers."""
        if self.refused or not self.expected:
            return bool(self.refused) and self.may_be_refused
        all_there = self.right == self.expected and not self.extra
        return all_there and not self.open and self.answers <= 5


def outcomes(folder: Path = FOLDER, *, by_exposures: bool = False) -> Iterator[Outcome]:
    """Every sheet's; ``by_exposures``: answers from the exposures, also for the sheets here."""
    known = folder.samefile(FOLDER) and not by_exposures
    said = tomllib.loads(ANSWERS.read_text(encoding="utf-8")) if known else {}
    for key_file in sorted(folder.glob("*.key.toml")):
        key = tomllib.loads(key_file.read_text(encoding="utf-8"))
        stem = key_file.name.removesuffix(".key.toml")
        answers = tuple(said.get(stem, {}).get("answers", ())) if known else None
        yield outcome(folder / key["file"], folder / f"{stem}.expected.csv", key, answers)


def outcome(
    sheet: Path, expected_file: Path, key: Mapping[str, object], answers: tuple[str, ...] | None
) -> Outcome:
    """One sheet read and compared; without answers, those found by the exposures."""
    with expected_file.open(encoding="utf-8", newline="") as file:
        expected = list(csv.DictReader(file))
    try:
        workbook = read_workbook(sheet)
    except BitewrightError as error:
        blank = _blank(sheet.name, expected, key)
        blank.refused = str(error)
        return blank
    return outcome_of(workbook, sheet.name, expected, key, answers)


def outcome_of(
    workbook: Workbook,
    name: str,
    expected: list[dict[str, str]],
    key: Mapping[str, object] = MappingProxyType({}),
    answers: tuple[str, ...] | None = None,
) -> Outcome:
    """The same of a workbook that was read."""
    blank = _blank(name, expected, key)
    allowed = _may_be_taken(key)
    try:
        asked = _questions_answered(answers or ())
        if answers is None:
            answers, questions = answers_by_truth(
                workbook,
                expected,
                lambda made: _how_well(
                    _compared(_blank(name, expected, key), made, expected, allowed)
                ),
            )
            asked = len(questions)
        understood = understand_workbook(workbook, given_answers(answers))
        found = _compared(blank, understood, expected, allowed)
        found.open = tuple(each.ask.value for each in proposal_of(understood, {}).open)
        found.answers, found.said = asked, answers
    except BitewrightError as error:
        blank.refused = str(error)
        return blank
    return found


def _questions_answered(answers: tuple[str, ...]) -> int:
    """How many questions some answers answer: words of one field are one table."""
    keys = (answer.partition("=")[0] for answer in answers)
    tables = {"column": "columns", "faults": "fault-words", "operator": "people"}
    parts = (key.partition(".") for key in keys)
    return len({tables.get(name, f"{name}-words") if dot else name for name, dot, _ in parts})


def _blank(name: str, expected: list[dict[str, str]], key: Mapping[str, object]) -> Outcome:
    found = Outcome(name=name, expected=len(expected))
    right = " ".join(map(str, key.get("also_right", [])))  # type: ignore[call-overload]
    found.may_be_refused = not expected or "the sheet refused" in right
    found.may_reject = "rejected for a" in right
    found.also = frozenset(
        name for name, said in ALSO_RIGHT.items() if any(each in right for each in said)
    )
    return found


def _compared(
    found: Outcome,
    understood: Understanding,
    expected: list[dict[str, str]],
    allowed: set[tuple[str, str]],
) -> Outcome:
    try:
        rows = list(checked_rows(understood, Pseudonyms({})))
    except BitewrightError as error:
        found.refused = str(error)
        return found
    _compare(found, expected, rows, allowed)
    return found


def _how_well(found: Outcome) -> float:
    """More for each exposure that is right or there, less for each thing that is not."""
    if found.refused:
        return REFUSED
    there = 10.0 * found.right + len(COMPARED) * found.taken
    return there - found.differences.total() - 5.0 * len(found.extra)


def _may_be_taken(key: Mapping[str, object]) -> set[tuple[str, str]]:
    """Bad rows that may be taken as well, as the key says."""
    bad, right = key.get("bad", []), " ".join(map(str, key.get("also_right", [])))  # type: ignore[call-overload]
    allowed = set()
    for each in bad:  # type: ignore[attr-defined]
        why = each["why"]
        place = (each.get("tab", ""), str(each["row"]))
        if "same as row" in why and "doubled row" in right and "taken" in right:
            allowed.add(place)
        if "grade" in why and ("without a rating" in right or "taken as A, and told" in right):
            allowed.add(place)
        if ("side" in why and "without a side taken as a bitewing" in right) or (
            "was no" in why and "wrong weekday taken" in right
        ):
            allowed.add(place)
        if "only the one left out" in right and each["why"].startswith("gd "):
            allowed.add(place)
        if f"row {each['row']}" in right or ("Was retaken" in why and "Was retaken taken" in right):
            allowed.add(place)
    return allowed


def _compare(
    found: Outcome,
    expected: list[dict[str, str]],
    rows: list[CheckedRow],
    may_be_taken: set[tuple[str, str]],
) -> None:
    of_tab = any("tab" in row for row in expected)
    wanted: dict[tuple[str, str], list[dict[str, str]]] = {}
    for each in expected:
        wanted.setdefault((each.get("tab", ""), each["row"]), []).append(each)
    pairs: dict[tuple[str, str], str] = {}
    problems: dict[tuple[str, str], list[str]] = {}
    extra: list[tuple[tuple[str, str], str]] = []
    for row in rows:
        place = (row.read.row.sheet if of_tab else "", str(row.read.row.line))
        if row.state is None:
            problems.setdefault(place, []).extend(problem.why for problem in row.problems)
            continue
        texts = {name: as_text(name, value) for name, value in row.state.items()}
        left = wanted.get(place, [])
        if not left:
            if place not in may_be_taken:
                extra.append((place, f"{place} {row.state}"))
            continue
        near = min(left, key=lambda each: each["view"] != texts.get("view"))
        left.remove(near)
        wrong = list(_differences(near, texts, pairs, may_reject=found.may_reject, also=found.also))
        found.differences.update(wrong)
        found.right += not wrong
        found.taken += 1
        found.examples += [
            f"{place} {name}: {texts.get(name, '')!r}, not {near.get(name)!r}" for name in wrong
        ]
    # of a bad row with several films the bad one is told, and the others may be taken
    found.extra += [said for place, said in extra if place not in problems]
    found.missed = [f"{place} {problems.get(place)}" for place, left in wanted.items() if left]


def _differences(
    wanted: Mapping[str, str],
    texts: Mapping[str, str],
    pairs: dict[tuple[str, str], str],
    *,
    may_reject: bool,
    also: frozenset[str] = frozenset(),
) -> Iterator[str]:
    for name in COMPARED:
        if name not in wanted:
            continue
        ours, theirs = texts.get(name, ""), wanted[name]
        if name in SAME:
            agree = bool(ours) == bool(theirs) and pairs.setdefault((name, theirs), ours) == ours
        elif name == "rating":
            agree = _same_rating(ours, theirs, pairs, also)
        elif name == "faults":
            agree = _faults(ours) == _faults(theirs)
        elif name == "decision":
            agree = _same_decision(ours, wanted, may_reject=may_reject, also=also)
        elif name == "kind":
            agree = (ours or "exposure") == (theirs or "exposure")
            agree = agree or ("second films" in also and not theirs and ours == "retake")
        else:
            agree = ours == theirs
        if not agree:
            yield name


def _same_decision(
    ours: str, wanted: Mapping[str, str], *, may_reject: bool, also: frozenset[str]
) -> bool:
    theirs, rating = wanted["decision"], wanted.get("rating", "")
    worst = rating.endswith((":N", ":3", ":poor"))
    if _kept_or_not(ours) == _kept_or_not(theirs) or (may_reject and ours == "rejected" and worst):
        return True
    if theirs == "accepted-with-a-remark" and "plainly accepted" in also and ours == "accepted":
        return True
    is_doubted = bool(wanted.get("faults")) or rating.endswith("fair")
    if "with a remark" in also and theirs == "accepted" and is_doubted:
        return ours == "accepted-with-a-remark"
    by_grade = bool(also & BY_GRADE) and not theirs
    return by_grade and _kept_or_not(ours) == ("rejected" if worst else "accepted")


def _same_rating(
    ours: str, theirs: str, pairs: dict[tuple[str, str], str], also: frozenset[str]
) -> bool:
    if "no rating" in also and not ours:
        return True
    if theirs.startswith("own:"):
        is_scheme = ours.startswith("own:") or ("older words" in also and bool(ours))
        agree = is_scheme and pairs.setdefault(("rating", theirs), ours) == ours
        return agree or ("decision for grade" in also and not ours)
    if not theirs and "grade beside decision" in also:
        return not ours or ours.startswith("own:")
    return ours == theirs


def _kept_or_not(decision: str) -> str:
    return "rejected" if decision == "retaken" else decision


def _faults(text: str) -> set[str]:
    return {each.partition(":")[0].replace("under-exposed", "exposure") for each in text.split("|")}


def main() -> None:
    """Print what came of each sheet."""
    told = list(outcomes(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER))
    for each in told:
        mark = "right" if each.is_right else "not  "
        print(
            f"{mark} {each.name}: {each.right} of {each.expected} exposures, {each.answers} answers"
        )
        if each.is_right and "--all" not in sys.argv:
            continue
        if each.said:
            print(f"      answers: {'; '.join(each.said)[:400]}")
        if each.open:
            print(f"      open: {', '.join(each.open)}")
        if each.refused:
            print(f"      refused: {each.refused}")
        if each.differences:
            print(f"      differ: {dict(each.differences)}")
        for line in [*each.examples[:4], *each.missed[:4], *(f"extra {x}" for x in each.extra[:3])]:
            print(f"        {line[:150]}")
    print(f"{sum(each.is_right for each in told)} of {len(told)} sheets right")


if __name__ == "__main__":
    main()
