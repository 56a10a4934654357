"""Films that were made twice, told in one cell: "X2", a cross with a tick behind it, "(2nd)"."""

import re
from collections.abc import Mapping
from functools import lru_cache

from bitewright.sheets.cells import Workbook, cell_text, plain, word_of
from bitewright.sheets.view_words import is_place, teeth_in, view_in
from bitewright.sheets.vocabulary import meanings, words_of
from bitewright.sheets.word_meanings import ACCEPTED, WITH_REMARK, decision_word

REJECTED = "rejected"
TWICE = (REJECTED, ACCEPTED)
GOOD, BAD = "\u2713\u2714\u221a\u2611", "\u2717\u2718\u2612\u00d7xX"
TWO = re.compile(rf"[{BAD}]\s*(?:[/,+>-]|->|\u2192)?\s*[{GOOD}]|[xX\u00d7]\s?2|2\s?[xX\u00d7]")
STARRED = re.compile(
    rf"\(?[{GOOD}]\)?\s*[*!(\u2019'-]|\([{GOOD}]\)|[{GOOD}]\s*[-\u2212\u2013]|\u00b1|\+/-|\+-|~"
)
THEN = re.compile(
    r"\s*(?:->|\u2192|=>|\u00bb|>{1,2}|\brpt\b|\bthen\b|\bdann\b|\bpuis\b|\bluego\b|\bpoi\b|\bdepois\b|\bdaarna\b|\bwdh\b\.?)\s*",
    re.IGNORECASE,
)
MARK = re.compile(
    rf"(?<!\w)(?:[{GOOD}{BAD[:-2]}]{{1,3}}\*?|[xX\u00d7]\s?2|2\s?[xX\u00d7]|tick\*?|cross)(?!\w)"
)
BEGUN = ("-", ":", "/")
NEXT_CODE = re.compile(r"(?<=\w)[\s,;]+[^\W_]{1,3}\s*=")
"""Where the meaning of a mark ends and a code that is no mark is explained."""
BEFORE_FAULT = re.compile(
    r"(?<!\w)([^\W\d_]{1,3}\s?[-:/])\s?(?:[xX]{1,3}|\.{2,3}|_{2,3})\s*(?:=|:|\u2013|->)\s*([^;:=]{3,60})"
)
"""A mark with room for a fault behind it, and what it stands for: "R-xx = retaken, second good"."""
PAIR = re.compile(
    r"(?<!\S)([^\W\d_]{1,3}\s?[/+>-]\s?[^\W\d_]{1,3}|\d\s?[/>]\s?\d)\s*[=:]\s*([^=]{3,60})"
)
"""Two grades with a sign between, and what they stand for: "M/B = bad, taken again and good"."""
BETWEEN_GRADES = re.compile(r"\s*[/+>-]\s*")
AGAIN = re.compile(
    r"\b(?:twice|again|retaken|redone|repeated|two films|two exposures|second|2nd|"
    r"zweimal|wiederholt|erneut|"
    r"nochmal\w*|zweite\w*|deux fois|refait\w*|repris\w*|dos veces|repetid\w*|"
    r"otra vez|segunda|due volte|"
    r"rifatt\w*|ripetut\w*|seconda|duas vezes|twee keer|herhaald|opnieuw|overgemaakt|tweede)\b"
)
SAID_AGAIN = re.compile(
    rf"[\s\-\u2013,;(>]*(?:{AGAIN.pattern}|\b(?:rpt|wdh|redo|herh|bis)\b\.?|->|\u2192)\s*",
    re.IGNORECASE,
)
"""That a film was made again, between what is told of it and of the next one."""
NOT_GREAT = re.compile(
    r"\b(?:not great|not perfect|could be better|poor|but|aber|mais|pero|ma|mas|maar|"
    r"just|remark|so so)\b"
)


def takes_in(text: str, legend: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The decisions on the films that one cell of marks tells of, the first film first.

    None where it is no such mark; one of a plain tick is left to others.
    """
    mark = "".join(text.split())
    if mark in legend:
        return legend[mark]
    begun, rest = fault_behind(text, legend)
    if rest:
        return legend[begun]
    if word_of(text) in legend:
        return legend[word_of(text)]
    return _of_mark(mark)


def fault_behind(text: str, legend: Mapping[str, tuple[str, ...]]) -> tuple[str, str]:
    """A mark of the legend that stands before a fault, and the fault: "R-" and "LT" of "R-LT"."""
    mark = "".join(text.split())
    for begun in legend:
        if begun.endswith(BEGUN) and mark.casefold().startswith(begun.casefold()):
            return begun, mark[len(begun) :]
    return "", ""


def grades_taken(text: str, legend: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The grade of a film and of the one made again, as `grades_in` or as a legend explains."""
    if legend.get(word_of(text)) == TWICE:
        found = tuple(BETWEEN_GRADES.split(text.strip()))
        if len(found) == len(TWICE) and all(found):
            return found
    return grades_in(text)


@lru_cache(maxsize=5000)
def grades_in(text: str) -> tuple[str, ...]:
    """Two grades of which the second is that of the film made again: "3 rpt 1"; else none."""
    found = THEN.split(text)
    return tuple(found) if len(found) == 2 and all(map(str.strip, found)) else ()


@lru_cache(maxsize=5000)
def _of_mark(mark: str) -> tuple[str, ...]:
    if TWO.fullmatch(mark):
        return TWICE
    return (WITH_REMARK,) if STARRED.fullmatch(mark) else ()


def is_mark_of_takes(text: str) -> bool:
    """Whether a cell is a mark of more than yes or no."""
    return bool(_of_mark("".join(text.split())))


def marks_explained(workbook: Workbook) -> dict[str, tuple[str, ...]]:
    """What lines of the workbook say that marks stand for: "X2 = taken twice, second fine"."""
    found: dict[str, tuple[str, ...]] = {}
    for sheet in workbook.sheets:
        for row in sheet.rows:
            texts = [text for cell in row if (text := cell_text(cell))]
            if len(texts) > 2:
                continue
            line = " ".join(texts)
            for begun in BEFORE_FAULT.finditer(line):
                told = _explained(begun[2])
                if told:
                    found.setdefault("".join(begun[1].split()), told)
            for pair in PAIR.finditer(line):
                if (told := _explained(pair[2])) == TWICE:
                    found.setdefault(word_of(pair[1]), told)
            line = BEFORE_FAULT.sub(" ; ", line)
            marks = list(MARK.finditer(line))
            ends = [*(mark.start() for mark in marks[1:]), len(line)] if marks else []
            for mark, end in zip(marks, ends, strict=True):
                told = _explained(NEXT_CODE.split(line[mark.end() : end])[0])
                if told:
                    found.setdefault(_plain_mark(mark[0]), told)
    return found


def _plain_mark(mark: str) -> str:
    return "".join(mark.split()).replace("tick", "\u2713").replace("cross", "\u2717")


def _explained(meaning: str) -> tuple[str, ...]:
    word = plain(meaning)
    if not word:
        return ()
    decision = decision_word(meaning)
    if AGAIN.search(word) and " not taken again" not in f" {word}":
        return (REJECTED,) if _is_of_first_alone(word, decision) else TWICE
    if NOT_GREAT.search(word) and decision in {ACCEPTED, WITH_REMARK, None}:
        return (WITH_REMARK,)
    if decision in {ACCEPTED, WITH_REMARK, REJECTED}:
        return (decision,)
    return ()


def _is_of_first_alone(word: str, decision: str | None) -> bool:
    """Whether words say that a film was bad and made again, and nothing of the second one."""
    known = meanings("decisions")
    kept = any(known.get(piece) in {ACCEPTED, WITH_REMARK} for piece in word.split())
    says_bad = any(known.get(piece) == REJECTED for piece in word.split())
    return decision in {REJECTED, "retaken"} and says_bad and not kept


BRACKETS = re.compile(r"\s*[(\[]([^()\[\]]{1,25})[)\]]")
LETTERS = frozenset({"r", "w"})
"""Letters in brackets that say so where a side stands before them: retake, Wiederholung. Common
practice, no source."""
SHORT = frozenset({"2nd", "2", "ii", "bis", "2a", "2e", "2eme", "2 a", "2 o", "2o", "x2"})
"""Short for a second film, in brackets. Common practice, no source."""


def says_second(text: str) -> bool:
    """Whether a text of a view says, in brackets or by a word, that the film was made again."""
    if any(map(_means_again, text.split())) or _before_short(text) is not None:
        return True
    return any(_is_second(found, text) for found in BRACKETS.finditer(text))


def without_second(text: str) -> str:
    """The text without what says so."""
    words = text.split()
    if any(map(_means_again, words)):
        text = " ".join(word for word in words if not _means_again(word))
    text = _before_short(text) or text
    if "(" not in text and "[" not in text:
        return text
    return BRACKETS.sub(lambda found: "" if _is_second(found, text) else found[0], text).strip()


@lru_cache(maxsize=5000)
def _before_short(text: str) -> str | None:
    """The view before a short word for a second film, its last one: "BW re Wdh.", "R PM BW - RT".

    None where the last word is another. What also is the word for a side counts where a side stands
    before it.
    """
    before, _, last = text.strip().rpartition(" ")
    before, said = before.rstrip(" -\u2013\u2014,;:/+"), plain(last)
    if not before or said not in SHORT_AGAIN:
        return None
    view = view_in(before) or ""
    is_sided = is_place(before) or view.startswith(("right-", "left-")) or bool(teeth_in(before))
    return before if is_sided or (view and said not in meanings("sides")) else None


SHORT_AGAIN = frozenset(
    {"rpt", "rept", "rep", "redo", "rt", "rtk", "retk", "r2", "x2", "2nd", "ii", "bis", "neu"}
    | {"wdh", "wdhl", "wdhlg", "wdhg", "wh", "whg", "wied", "wiederh", "zweit", "nochm"}
    | {"repr", "rprise", "ref", "repet", "repe", "rip", "ripet", "rifat", "herh", "herhal", "over"}
    | {"omt", "om", "omtag", "ny", "nytt", "powt", "opak", "uus", "ism", "tekr", "pon", "2e", "2a"}
)
"""Short for a film made again, behind a view. Common practice, no source."""


@lru_cache(maxsize=5000)
def _means_again(word: str) -> bool:
    """Whether one word of a view is one for a film made again: "BW right retake"."""
    said = plain(word)
    is_again = meanings("kinds").get(said) == "retake" or said in words_of("attempts", "again")
    return len(said) >= LEAST_AGAIN and is_again


LEAST_AGAIN = 5
"""Letters of such a word; shorter ones mean other things beside a view. Our choice."""


def _is_second(found: re.Match[str], text: str) -> bool:
    word, before = plain(found[1]), text[: found.start()]
    if word in LETTERS:
        return is_place(before) or (view_in(before) or "").startswith(("right-", "left-"))
    is_kind = len(word) > 1 and meanings("kinds").get(word) == "retake"
    return is_kind or word in SHORT or word in words_of("attempts", "second")


__all__ = [
    "fault_behind",
    "grades_in",
    "grades_taken",
    "is_mark_of_takes",
    "marks_explained",
    "says_second",
    "takes_in",
    "without_second",
]
