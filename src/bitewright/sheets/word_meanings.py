"""What single words in the cells mean in the log: faults, decisions, flags, kinds, numbers."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from bitewright.log.faults import fault_kinds
from bitewright.sheets.asides import is_aside, with_patient, without_stroke
from bitewright.sheets.cells import plain
from bitewright.sheets.close_words import CloseWords
from bitewright.sheets.fault_phrases import (
    JOINED_BY,
    OF_MANY,
    fault_by_parts,
    names_another,
    parts_in,
    says_well,
)
from bitewright.sheets.remarks_told import REMARKED, SOME_FAULT
from bitewright.sheets.second_told import is_second, is_surely_second
from bitewright.sheets.vocabulary import fault_words, longest_held, meanings, words_of

BETWEEN = re.compile(
    r"\s*(?:(?<!\d),|,(?!\d)|/(?!\d)|(?<!\d)/|[;|+&\n•]|\band\b|\bund\b|\by\b|\bet\b|\be\b|\bu\.|\boch\b|\bog\b|\bsamt\b|\bja\b(?=\s+\w)|\boraz\b|\bi\b(?=\s+\w{2})(?!\s+(?:contatti|punti|denti|bordi|margini|molari|premolari|canini))|\bés\b|\bve\b|\bși\b|(?<!\btrop\s)\ben\b(?=\s+\w{4})|\bplus\b)\s*"
)
SIZE = re.compile(
    r"(?P<size>\d+(?:[.,]\d+)?)\s*(?P<unit>mm|°|deg(?:rees)?|grad|degres?|grados?)\b|(?P<degrees>\d+(?:[.,]\d+)?)\s*°"
)
NUMBER = re.compile(r"[<>~≈]?\s*(?P<number>\d*[.,]?\d+)\s*(?P<unit>[^\W\d]*)\.?")
YES_MARKS = frozenset("✓✔☑√●■+")
NO_MARKS = frozenset("✗✘☒-☐○\u2013\u2014\u00d7")
YES_FIRST, NO_FIRST = (
    frozenset({"yes", "ja", "oui", "si", "sim"}),
    frozenset({"no", "nein", "non", "nao", "nee"}),
)
"""Words that say yes or no also where more is written behind them, if that is not the contrary."""
OWN_CODE = re.compile(r"(?:[^\W\d_]{0,12}[-_./ ]?\d{1,5}|[A-Z]{1,3}\d{0,3})")
UNKNOWN_FAULT = "other"
JOINING = frozenset({"de", "d", "of", "any", "sign", "signs", "di", "da", "evidence", "visible"})
"""Words that may stand between a word of denial and what it denies."""
LEAST_CLOSE = 5
"""Letters that a word must have for another to be close to it. Our choice."""
MOST_GLUED = 4
"""Codes of one letter that may be written without anything between. Our choice."""
CAUSE = {"unwell"}


def flag(text: str) -> bool | None:
    """Whether a cell says yes or no; None where it says neither."""
    mark = text.strip()
    if mark in YES_MARKS | NO_MARKS:
        return mark in YES_MARKS
    word = plain(mark)
    yes, no = words_of("flags", "yes"), words_of("flags", "no")
    if word in yes | no:
        return word in yes
    first, *rest = word.split() or [""]
    if first in YES_FIRST and no.isdisjoint(rest):
        return True
    return False if first in NO_FIRST and yes.isdisjoint(rest) else None


def is_doubtful(text: str) -> bool:
    """Whether a question mark stands behind something in a cell, or a tick and a cross in it."""
    return (text.rstrip(" )").endswith("?") and plain(text) != "") or has_both_marks(text)


def has_both_marks(text: str) -> bool:
    """Whether a tick stands before a cross, which is no film and its retake."""
    return BOTH.search(text) is not None


BOTH = re.compile("[\u2713\u2714\u221a\u2611]\\s*/?\\s*(?:[\u2717\u2718\u2612]|[xX](?!\\w))")
WITH = re.compile(r"\b([mwc])/\s*(?=[^\W\d]{3})", re.IGNORECASE)  # "m/anm", "w/ comment"
LESS = re.compile(r"\w\s?[-\u2013\u2212~*]\s*$")  # "ok-", "kept*": just good enough


@lru_cache(maxsize=20_000)
def decision_word(text: str) -> str | None:
    """The log's decision, or "undecided"; None where it is none."""
    word = plain(text)
    known = meanings("decisions")
    if word in known:
        return WITH_REMARK if known[word] == ACCEPTED and LESS.search(text) else known[word]
    pieces = [piece for piece in OR.split(WITH.sub(r"\1 ", text)) if plain(piece)]
    if len(pieces) > 1:
        return _of_pieces(pieces)
    held = longest_held(word, known)
    if held is not None and _is_denied(word, held):
        return "rejected" if known[held] == ACCEPTED and _is_only_denied(word, held) else None
    if held is not None and len(held) > 2:
        return _of_several(word, held, known)
    if held in SHORT_YES and REMARKED.search(word):
        return WITH_REMARK
    found = _close_words("decisions").meaning(word)
    return WITH_REMARK if found == ACCEPTED and REMARKED.search(word) else found


def _is_only_denied(word: str, held: str) -> bool:
    """Whether a phrase is a denial of something good and no more: "not good", "non buona"."""
    before = word.removesuffix(held).split()
    return word.endswith(held) and len(before) == 1 and len(held) > 2


def _of_several(word: str, held: str, known: Mapping[str, str]) -> str | None:
    """The decision of a phrase that names one, or several that go together."""
    found = {known[held]}
    rest = beside = f" {word} ".replace(f" {held} ", " ").strip()
    while rest and (other := longest_held(rest, known)) is not None:
        if len(other) > 2 or other == "ok":
            found.add(known[other])
        rest = f" {rest} ".replace(f" {other} ", " ").strip()
    if "retaken" in found and found <= {"retaken", "rejected"}:
        return "retaken"
    if found <= KEPT and (len(found) > 1 or (found == {ACCEPTED} and REMARKED.search(beside))):
        return WITH_REMARK
    return found.pop() if len(found) == 1 else None


def _of_pieces(pieces: Sequence[str]) -> str | None:
    """The decision of two words with a stroke between; None where they are two outcomes."""
    told = [(piece, decision_word(piece)) for piece in pieces]
    found = {held for piece, held in told if held or not faults_in(piece, {}).faults}
    if found == {"rejected", "retaken"}:
        return "retaken"
    return found.pop() if len(found) == 1 else None


def are_two_outcomes(text: str, given: Mapping[str, str]) -> bool:
    """Whether a cell holds two decisions that do not go together; ``given``: those of codes."""
    pieces = [plain(piece) for piece in OR.split(text) if plain(piece)]
    told = {given.get(piece) or decision_word(piece) or _by_flag(piece) for piece in pieces}
    return (
        len(pieces) > 1 and None not in told and len(told) > 1 and told != {"rejected", "retaken"}
    )


def _by_flag(text: str) -> str | None:
    said = flag(text)
    return None if said is None else ACCEPTED if said else "rejected"


OR = re.compile(r"\s*/\s*|\s+(?:or|oder|ou|o|of)\s+")
ACCEPTED, WITH_REMARK = "accepted", "accepted-with-a-remark"
SHORT_YES = frozenset({"ok", "io"})
KEPT = frozenset({ACCEPTED, WITH_REMARK})


def without_some_fault(text: str) -> str:
    """An acceptance without words for a fault that do not say which: "good with a defect"."""
    if decision_word(text) != WITH_REMARK:
        return text
    pieces = map(plain, BETWEEN.split(text))
    return "; ".join(re.sub(rf"\b(?:{SOME_FAULT})\b", " ", piece) for piece in pieces)


@cache
def _close_words(part: str) -> CloseWords:
    """The words of a part, or of faults; "fault alone": those of one word."""
    known = meanings(part) if part == "decisions" else fault_words()
    return CloseWords(
        {
            word: held
            for word, held in known.items()
            if len(word) >= LEAST_CLOSE and not (part == "fault alone" and " " in word)
        }
    )


def denied_decision(text: str) -> str | None:
    """The decision that a cell denies, as "not good" and "not retaken" do; None where none."""
    word, known = plain(text), meanings("decisions")
    held = longest_held(word, known)
    return known[held] if held is not None and _is_denied(word, held) else None


def _is_denied(text: str, held: str) -> bool:
    """Whether a word of denial stands before a phrase that a plain text holds."""
    before = f" {text} ".partition(f" {held} ")[0].split()
    while before and before[-1] in JOINING:
        before.pop()
    return bool(before) and before[-1] in words_of("denials", "words")


ORDINAL = re.compile(r"([12])\s?(?:\.|st|nd|e|er|ere|eme|re|do|a|o|\u00ba|\u00aa|te|:a|:e)\.?")
"""A first or a second one as languages write it. Common practice, no source."""


@lru_cache(maxsize=5000)
def try_of(text: str) -> str | None:
    """Whether a cell says that a film was the first or the second try; None where neither."""
    found = ORDINAL.fullmatch(text.strip().casefold())
    if found is not None:
        return "first" if found[1] == "1" else "second"
    word = plain(text)
    if word in words_of("attempts", "second") | words_of("attempts", "again"):
        return "second"
    return "first" if len(word) > 1 and meanings("kinds").get(word) == "exposure" else None


def kind_word(text: str) -> str | None:
    """The log's sort of exposure; None where it is none."""
    word = plain(text)
    known = meanings("kinds")
    held = word if word in known else longest_held(word, known)
    return None if held is None else known[held]


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultsRead:
    """Faults in a cell: those known, as the log writes them, and words that are not."""

    faults: tuple[str, ...]
    unknown: tuple[str, ...]


@lru_cache(maxsize=20_000)
def is_nothing(text: str) -> bool:
    """Whether a cell says that there is nothing to say."""
    word = plain(text)
    return not word or word in words_of("empty", "nothing")


def faults_in(text: str, given: Mapping[str, str]) -> FaultsRead:  # noqa: C901  one a case
    """Faults that a cell names; ``given``: meanings said by a person, by plain word."""
    text = with_patient(text)
    if (is_nothing(text) or is_aside(text)) and plain(text) not in given:
        return FaultsRead(faults=(), unknown=())
    codes = plain(text).split()
    if len(codes) == 1 and 1 < len(codes[0]) <= MOST_GLUED and codes[0] not in fault_words():
        codes = list(codes[0])  # letters of which each is a code, glued: "bd"
    if len(codes) > 1 and plain(text) not in given and all(code in given for code in codes):
        told = (_fault(code, given) or () for code in codes)
        return FaultsRead(
            faults=tuple(dict.fromkeys(name for each in told for name in each)), unknown=()
        )
    whole = _fault(text, given)
    if whole is not None and plain(text) in {*given, *fault_words()}:
        return FaultsRead(faults=whole, unknown=())
    faults, causes = dict[str, None](), dict[str, None]()
    unknown = []
    pieces = BETWEEN.split(without_stroke(text))
    for piece in (part for each in pieces for part in _joined(each, given)):
        if _tells_no_fault(piece) and plain(piece) not in given:
            continue
        found = None if names_another(piece) else _fault(piece, given)
        if found is not None:
            if parts_in(plain(piece)) == CAUSE:
                causes.update(dict.fromkeys(found))
            faults.update(dict.fromkeys(found))
        elif not (
            plain(piece).replace(" ", "").isdigit() or _is_attempt(piece) or names_another(piece)
        ):
            unknown.append(piece.strip())
    if unknown and whole is not None and not faults:
        return FaultsRead(faults=whole, unknown=())
    if len(faults) > len(causes):  # a patient who gagged is why, and another fault is what
        faults = {name: None for name in faults if name not in causes}
    return FaultsRead(faults=tuple(faults), unknown=tuple(unknown))


def _joined(piece: str, given: Mapping[str, str]) -> list[str]:
    """The parts of a phrase where each is a fault by itself: "slecht geplaatst en te donker"."""
    if plain(piece) in given or plain(piece) in fault_words():
        return [piece]
    parts = JOINED_BY.split(piece)
    told = [_fault(part, given) for part in parts]
    is_each = not any(plain(part) in OF_MANY for part in parts) and (UNKNOWN_FAULT,) not in told
    return parts if len(set(told)) > 1 and None not in told and is_each else [piece]


def _tells_no_fault(text: str) -> bool:
    is_other = is_nothing(text) or is_aside(text) or says_well(plain(text))
    return is_other or _is_denied_fault(text) or (len(text) > 1 and is_second(text))


def _is_denied_fault(text: str) -> bool:
    """Whether a phrase says that a fault is not there: "no overlap"."""
    word = plain(text)
    held = _fault_held(word)
    return held is not None and _is_denied(word, held) and fault_by_parts(word, least=2) is None


@lru_cache(maxsize=20_000)
def _fault_held(word: str) -> str | None:
    known = fault_words()
    return longest_held(word, known.keys() - OF_MANY) or longest_held(word, known)


def _is_attempt(text: str) -> bool:
    """Whether a phrase says that a film was the second one, or made again, and no fault."""
    word = plain(text)
    if meanings("decisions").get(word) == "retaken":
        return True
    is_second = longest_held(word, words_of("attempts", "second")) is not None
    is_second = is_second or is_surely_second(text)
    return is_second or (len(word) > 2 and meanings("kinds").get(word) == "retake")


def _fault(text: str, given: Mapping[str, str]) -> tuple[str, ...] | None:
    """The faults of one phrase, with the size it states; None where none is known."""
    word = plain(text)
    if word in given:
        said = given[word]
        return () if said in {"", "none", "nothing"} else (said,)
    name = _fault_name(word)
    if name is None:
        return None
    size = SIZE.search(text)
    unit = fault_kinds()[name].unit
    if size is not None:
        figure = (size["size"] or size["degrees"]).replace(",", ".")
        is_mm = (size["unit"] or "") == "mm"
        if unit == ("mm" if is_mm else "deg"):
            return (f"{name}:{float(figure):g}",)
    return (name,)


PHRASE = 3
"""Words from which a known phrase says more than parts of its text."""


@lru_cache(maxsize=20_000)
def _fault_name(word: str) -> str | None:  # noqa: PLR0911  one a way to know it
    known = fault_words()
    if parts_in(word) == {"cut"}:
        return None  # of the beam, or of a tooth: a person says
    if word in known:
        return known[word]
    named = word.replace(" ", "-")
    if named in fault_kinds():
        return named
    held = _fault_held(word)
    said = fault_by_parts(word, least=2)
    if said is not None and (held is None or held.count(" ") < PHRASE - 1 or held in OF_MANY):
        return said
    if held is not None and _is_denied(word, held):
        return None
    if held is not None and len(held) > 2 and held not in OF_MANY:
        return known[held]
    said = fault_by_parts(word)
    if said is not None:
        return said
    if held is not None and len(held) > 2:
        return known[held]
    near = _close_words("faults").meaning(word)
    if near is not None:
        return near
    alone = _close_words("fault alone")
    pieces = (alone.meaning(piece) for piece in word.split() if not _is_other_word(piece))
    return next((near for near in pieces if near is not None), None)


def _is_other_word(piece: str) -> bool:
    """Whether a word is known to mean something else, so that it is no slip for a fault."""
    others = ("sides", "regions", "films", "decisions", "flags", "months", "weekdays")
    return piece in OF_MANY or any(piece in meanings(each) for each in others)


def number_in(text: str) -> tuple[float, str] | None:
    """A number and the unit behind it, with a decimal point or comma; None where there is none."""
    found = NUMBER.fullmatch(text.strip())
    if found is None:
        return None
    return float(found["number"].replace(",", ".")), plain(found["unit"])


def is_own_code(text: str) -> bool:
    """Whether a text is a code that names nobody: initials, or letters with a short number."""
    return OWN_CODE.fullmatch(text.strip()) is not None and not text.strip().isspace()


def looks_like_name(text: str) -> bool:
    """Whether a text may be somebody's name: a word of three letters or more and no figure."""
    return (
        not any(each.isdigit() for each in text)
        and any(len(word) >= 3 for word in plain(text).split())
        and any(each.isalpha() for each in text)
    )


__all__ = [
    "UNKNOWN_FAULT",
    "FaultsRead",
    "are_two_outcomes",
    "decision_word",
    "denied_decision",
    "faults_in",
    "flag",
    "has_both_marks",
    "is_doubtful",
    "is_nothing",
    "is_own_code",
    "kind_word",
    "looks_like_name",
    "number_in",
    "try_of",
    "without_some_fault",
]
