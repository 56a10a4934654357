"""What a sheet itself says that its codes stand for, in lines such as "CC = cone cut"."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest

from bitewright.sheets.asked_meanings import RETAKE_KEPT
from bitewright.sheets.cells import Sheet, Workbook, cell_text, plain
from bitewright.sheets.grade_words import BEST, MIDDLE, WORDS, WORST
from bitewright.sheets.grades import grade_word
from bitewright.sheets.view_words import is_bitewing_word, view_in
from bitewright.sheets.vocabulary import longest_held, meanings, words_of
from bitewright.sheets.word_meanings import BETWEEN, UNKNOWN_FAULT, decision_word, faults_in

WRITTEN = re.compile(
    r"(?:^[#*\u2022\s]*|[;,/:]\s*|\s{2,})([^\W_]{1,4})\s*(?:=|:|\u2013|->|\u2192|-)\s*([^\W\d][^;,=]{2,60})"
)
UNSIGNED = re.compile(r"(?:^|[,;:/]\s*)([^\W\d_]{1,3}\d{0,2})\s+([^\W\d_][^,;:/=]{3,40})")
"""Codes with a capital and their meaning behind them, such as "O overlap, Šik šikmo"."""
GRADED = re.compile(r"(?:^|[,;:/]\s*)([0-6])\s+([^\W\d_][^,;:/=\d]{2,40})")
"""Grades in figures with their meaning behind them: "1 výborný, 2 použitelný, 3 nepoužitelný"."""
STARS = re.compile(r"([*\u2605]{1,5})\s*[=:]?\s*([^\W\d][^*\u2605,;]{2,40})")
COLOURED = re.compile(
    r"(?:^|[,;:/|]\s*)([^\W\d_]{3,10})\s*(?:=|:|\u2013|->|\u2192)\s*([^,;:/|=]{3,60})"
)
SIGNED = re.compile(
    r"(?:^|[\s;,/(])([^\W_]{1,2})\s*=\s*(\D.{1,60}?)(?=[\s;,/()]+[^\W_]{1,2}\s*=|[;,]|$)"
)
"""Codes of a letter or two with a sign behind each, such as "B = bon M = moyen"."""
COUNTED = re.compile(r"(?<![\w.,/-])(\d{1,2})[\s.):=-]+([^\W\d][^\d]{2,60}?)(?=[\s,;]+\d|\s*$)")
SIGNS_TOLD = re.compile(
    r"(?<![^\s,;(])(\+{1,3}|[-\u2013\u2212]{1,3}|\u00b1|\+/[-\u2013]|[o0](?=\s*=))"
    r"\s*(?:=|:)\s*([^\W\d][^;,=+]{2,40}?)(?=\s+[-+\u2013\u00b1o0]{1,3}\s*=|[;,]|$)"
)
"""Signs with what they say behind each: "+ = good, o = fair, - = poor"."""
TERM = re.compile(r"\s*([^=]{2,20}?)\s*=\s*([^=]{3,60})")
"""A line that explains one word, whatever its length."""
EXAMPLE = re.compile(
    r"\s*(?:e\.?\s?g\b|ex\s?[.:]|z\.\s?b\.|p\.\s?ex\.|p\.\s?ej\.|ad\s?es\.|bijv\.|bv\.|f\.\s?eks\.|t\.\s?ex\.|"
    r"np\.|napr\.|(?:for )?example|beispiel|exemple|ejemplo|esempio|exemplo|voorbeeld)",
    re.IGNORECASE,
)
"""How an example begins in many languages. Common practice, no source."""
LETTERED = re.compile(
    r"(?<!\S)([^\W\d_]{1,2})\s+([^\W\d_][^,;:/=\d]{2,40}?)(?=[\s,;]+[^\W\d_a-z]{1,2}\s+[^\W\d_A-Z]|\s*$)"
)
"""Capitals with words behind them that begin small, nothing between one and the next."""
FEWEST_COUNTED = 3
"""Numbers that must count up in a line for it to be a legend. Our choice."""
MARKS = frozenset({"x", "xx"})
"""Marks that say yes: what stands beside one in a legend tells how to fill the list in."""
BY_OUTCOME = {"rejected": 1.0, "retaken": 1.0, "accepted-with-a-remark": 0.5, "accepted": 0.5}
"""How bad a grade in figures is that is told by its outcome, where another is told by words."""
DONE = frozenset(
    {"kept", "keep", "accepted", "rejected", "reject", "repeated", "retaken", "redone", "binned"}
    | {"discarded", "behalten", "angenommen", "verworfen", "abgelehnt", "wiederholt", "garde"}
    | {"gardee", "refait", "refaite", "rejete", "rejetee", "aceptada", "rechazada", "repetida"}
    | {"tenuta", "accettata", "scartata", "rifatta", "aceite", "rejeitada", "behouden", "afgekeurd"}
    | {"overgedaan", "herhaald", "goedgekeurd"}
)
"""Words of what was done with a film: codes that two of them explain are decisions, no grades."""
SIGNS = frozenset("+-\u2013\u2212\u00b1/*")
LOOKED_AT = 200
LONGEST_CODE, LONGEST_TEXT = 4, 60
MOSTLY = 0.7
"""Share of pairs that must be of one code and one meaning, or they are films. Our choice."""
CODED = re.compile(r"([A-Z][A-Z0-9]{0,3})\s+([^\W\d_A-Z].{2,40})")
BESIDE_MOST = 0.5
"""Share of rows up to which two columns beside a table may be a legend. Our choice."""


def legend_meanings(workbook: Workbook) -> dict[str, dict[str, str]]:
    """Meanings by field and plain code, of all codes that some cells explain."""
    found: dict[str, dict[str, str]] = {"faults": {}, "view": {}, "decision": {}}
    graded, terms = grades_explained(workbook), set(_terms_explained(workbook))
    for code, told in (*_explained(workbook), *sorted(terms)):
        text = _before_dash(told)
        word = plain(code)
        if not word:
            continue  # a sign is a grade and nothing else
        if len(word) > LONGEST_CODE and (code, told) not in terms:
            word = meanings("colours").get(word, "")
            if not word:
                continue
        decision = decision_word(text)
        is_view = decision is not None or is_bitewing_word(text) or word in MARKS
        faults = set(() if is_view else faults_in(text, {}).faults) - {UNKNOWN_FAULT}
        if len(faults) == 1 and (word not in graded or code.isdigit()):
            found["faults"].setdefault(word, faults.pop().partition(":")[0])
            continue
        view = view_in(text)
        if view is not None and not _is_of_other_side(word, view):
            found["view"].setdefault(word, view)
        if decision is not None and word not in graded:
            found["decision"].setdefault(word, _of_second(text) or decision)
    if {"a", "n"} <= found["decision"].keys() and "o" not in found["decision"]:
        for word in ("a", "n"):  # grades of a published scheme, whatever is told beside them
            del found["decision"][word]
    return {name: words for name, words in found.items() if words}


def _is_of_other_side(code: str, view: str) -> bool:
    """Whether a code says itself of where a film is, and what explains it otherwise."""
    own = view_in(code) or ""
    if own.startswith(("right-", "left-")) and not own.endswith("-bitewing"):
        return own != view
    side, told, _ = own.partition("-")
    return bool(told) and "-" in view and not view.startswith(side)


def _before_dash(text: str) -> str:
    """A meaning without a dash behind it that is explained as no film: "movement - not exposed"."""
    before, dash, behind = text.rpartition(" - ")
    return before if dash and plain(behind) in words_of("void", "not taken") else text


def _terms_explained(workbook: Workbook) -> Iterator[tuple[str, str]]:
    """Words of the table that a line of its own explains: "wriggler = movement"."""
    told = {
        found[1].strip(): found[2].strip()
        for sheet in workbook.sheets
        for row in sheet.rows
        if len(texts := [text for cell in row if (text := cell_text(cell))]) == 1
        and (found := TERM.fullmatch(texts[0])) is not None
    }
    if told:
        there = {
            plain(piece)
            for sheet in workbook.sheets
            for row in sheet.rows
            for cell in row
            for piece in (cell_text(cell), *BETWEEN.split(cell_text(cell)))
        }
        yield from ((code, text) for code, text in told.items() if plain(code) in there - {""})


def _of_second(text: str) -> str | None:
    """That a film is itself the second one, where a code stands for "the retake"."""
    words = plain(text)
    return RETAKE_KEPT if words in words_of("attempts", "the second") else None


def grades_explained(workbook: Workbook) -> dict[str, float]:
    """How bad each grade is that a legend puts into words, from nought to one; two at least."""
    found = _stars_explained(workbook)
    done: set[str] = set()
    explained = list(_explained(workbook))
    in_order = _scale_in_order(explained)
    for code, text in explained:
        how_bad = badness_of_words(text)
        is_in_order = plain(code) in in_order
        if how_bad is None and is_in_order:
            how_bad = BY_OUTCOME.get(decision_word(text) or "")
        if how_bad is None and _is_sign(code):
            how_bad = {"rejected": 1.0, "accepted": 0.0}.get(decision_word(text) or "")
        is_grade = is_in_order and how_bad is not None  # whatever was done besides
        if _says_what_was_done(text) and not is_grade and (how_bad is None or _is_done(text)):
            done.add(plain(code))
        if how_bad is not None and len(plain(code)) <= LONGEST_CODE:
            found.setdefault(_grade_code(code), how_bad)
    return found if len(set(found.values())) > 1 and len(done) < 2 else {}


def _scale_in_order(explained: Sequence[tuple[str, str]]) -> frozenset[str]:
    """Figures, or the first letters of the alphabet, that name a scale: one of them is good."""
    codes = {plain(code) for code, _ in explained}
    letters = codes & set(LETTERS_IN_ORDER) if set(LETTERS_IN_ORDER[:3]) <= codes else set()
    scale = frozenset({code for code in codes if code.isdigit()} | letters)
    is_good = any(
        plain(code) in scale and badness_of_words(text) == 0.0 for code, text in explained
    )
    return scale if is_good else frozenset()


LETTERS_IN_ORDER = ("a", "b", "c", "d", "e")


def codes_explained(workbook: Workbook) -> frozenset[str]:
    """All codes that the workbook puts into words."""
    codes = (_grade_code(code) for code, _ in _explained(workbook))
    return frozenset(code for code in codes if code and len(code) <= LONGEST_CODE)


def are_own_grades(workbook: Workbook) -> bool:
    """Whether a legend puts 1, 2 and 3 into other words than the published scheme does."""
    told = [
        text
        for code, text in _explained(workbook)
        if code in {"1", "2", "3"} and badness_of_words(text) is not None
    ]
    return bool(told) and not any(says_scheme(text) for text in told)


def _stars_explained(workbook: Workbook) -> dict[str, float]:
    for sheet in workbook.sheets:
        for row in sheet.rows[:LOOKED_AT]:
            pairs = STARS.findall(" ".join(map(cell_text, row)))
            marks = {mark: badness_of_words(text) for mark, text in pairs}
            if len(marks) > 1 and len(pairs) == len(marks):
                most = max(map(len, marks))
                return {mark: 1.0 - len(mark) / most for mark in marks}
    return {}


def _is_done(text: str) -> bool:
    return not DONE.isdisjoint(plain(text).split())


def _says_what_was_done(text: str) -> bool:
    is_again = decision_word(text) == "retaken" or _of_second(text) is not None
    return _is_done(text) or is_again


def _explained(workbook: Workbook) -> Iterator[tuple[str, str]]:
    """Codes with what stands beside them."""
    for sheet in workbook.sheets:
        apart: list[list[tuple[str, str]]] = [[]]
        for row in sheet.rows:
            texts = [text for cell in row if (text := cell_text(cell))]
            if not texts:
                apart.append([])  # another legend may begin
            if len(texts) > 4:
                continue
            for text in map(_without_example, texts):
                yield from _in_text(text, is_alone=len(texts) == 1)
            pairs = list(zip(texts[::2], texts[1::2], strict=False))
            if len(texts) in {2, 4} and all(_may_explain(*pair) for pair in pairs):
                apart[-1] += pairs
        together = [pair for pairs in apart for pair in pairs]
        if len(together) == 1:
            yield together[0]
        blocks = apart if len(list(filter(None, apart))) > 1 else []
        for pairs in (together, *blocks, list(_beside(sheet)), list(_in_a_column(sheet))):
            yield from _one_for_each(pairs)


def _in_text(text: str, *, is_alone: bool) -> Iterator[tuple[str, str]]:
    """Codes that one cell explains; ``is_alone``: whether its row holds nothing else."""
    if is_alone:
        yield from _lettered(text)
    yield from WRITTEN.findall(text)
    yield from _signed(text)
    yield from _one_for_each(SIGNS_TOLD.findall(text))
    yield from _one_for_each(GRADED.findall(text))
    if is_alone:
        yield from _with_capital(text)
        yield from COLOURED.findall(text)
        yield from _counted(text)


def _signed(text: str) -> Iterator[tuple[str, str]]:
    """Codes with a sign, the first at the beginning: "BW R PM = ..." explains no PM."""
    found = list(SIGNED.finditer(text))
    if found and not text[: found[0].start(1)].strip(" ,;:/()*#"):
        yield from ((each[1], each[2]) for each in found)


def _without_example(text: str) -> str:
    """A text; none where it is an example, which explains no code by itself."""
    return "" if EXAMPLE.match(text) else text


def _lettered(text: str) -> Iterator[tuple[str, str]]:
    """Capitals in one line with a meaning behind each: "O overlap C cone cut P placement"."""
    found = [pair for pair in LETTERED.findall(text) if pair[0].isupper()]
    if len(found) >= FEWEST_COUNTED:
        yield from _one_for_each(found)


def _with_capital(text: str) -> Iterator[tuple[str, str]]:
    found = UNSIGNED.findall(text)
    yield from (
        (code, meaning)
        for code, meaning in found
        if code[0].isupper() and (not meaning[0].isupper() or code[1:].islower())
    )


def _one_for_each(pairs: Sequence[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Codes with one meaning each, and meanings with one code; others are cells of a table."""
    told = dict.fromkeys(pairs)
    codes, texts = Counter(code for code, _ in told), Counter(text for _, text in told)
    alone = [(code, text) for code, text in told if codes[code] == texts[text] == 1]
    if len(codes) > 1 and len(alone) >= MOSTLY * len(told):
        yield from alone


def _is_sign(code: str) -> bool:
    return bool(code) and not plain(code) and set(code) <= SIGNS


def _grade_code(code: str) -> str:
    """A code as a grade is told: its plain letters, or its signs as they are commonly typed."""
    return plain(code) or grade_word(code)


def _may_explain(code: str, text: str) -> bool:
    is_code = (code.isalnum() or _is_sign(code)) and len(code) <= LONGEST_CODE
    return is_code and 3 <= len(text) <= LONGEST_TEXT


def _counted(text: str) -> Iterator[tuple[str, str]]:
    """Numbers that count up in one line with a meaning behind each: "1 overlap  2 cone cut"."""
    found = COUNTED.findall(text)
    if len(found) >= FEWEST_COUNTED and [int(code) for code, _ in found] == list(
        range(int(found[0][0]), int(found[0][0]) + len(found))
    ):
        yield from ((code, meaning.strip(" ,;.")) for code, meaning in found)


def _beside(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Codes and meanings in two columns beside a table, nothing in the column before them."""
    rows = [[cell_text(cell) for cell in row] for row in sheet.rows[:LOOKED_AT]]
    for at in range(1, max(map(len, rows), default=0) - 1):
        pairs = [
            (row[at], row[at + 1])
            for row in rows
            if len(row) > at + 1
            and not row[at - 1]
            and row[at].isalnum()
            and len(row[at]) <= LONGEST_CODE
            and 3 <= len(row[at + 1]) <= LONGEST_TEXT
        ]
        if len({code for code, _ in pairs}) > 1 and len(pairs) < BESIDE_MOST * len(rows):
            yield from pairs


def _in_a_column(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Codes with their meaning in the same cell, one below the other: "OV overlapped contacts"."""
    for column in zip_longest(*sheet.rows[:LOOKED_AT]):
        texts = [text for cell in column if cell is not None and (text := cell_text(cell))]
        found = [CODED.fullmatch(text) for text in texts]
        pairs = [(each[1], each[2]) for each in found if each is not None]
        if len({code for code, _ in pairs}) > 1 and len(pairs) >= MOSTLY * len(texts):
            yield from pairs


def badness_of_words(text: str) -> float | None:
    """How bad a grade is that words tell: nought the best, one the worst; None where none does."""
    word = plain(text)
    held = longest_held(word, {*BEST, *MIDDLE, *WORST, *WORDS} - {"o", "+", "-"})
    if held is None or len(held) < 2:
        return None
    if held in WORDS:
        scheme, grade = WORDS[held]
        return {"N": 1.0, "A": 0.5, "1": 0.0, "2": 0.5, "3": 1.0}[grade] if scheme else None
    return 1.0 if held in WORST else 0.0 if held in BEST else 0.5


def says_scheme(text: str) -> bool:
    """Whether words are those of a published scheme."""
    return longest_held(plain(text), WORDS) is not None


def with_legend(
    said: Mapping[str, Mapping[str, str]], legend: Mapping[str, Mapping[str, str]]
) -> dict[str, dict[str, str]]:
    """What a person said of words, and what the legend says of others."""
    fields = {*said, *legend}
    return {name: {**legend.get(name, {}), **said.get(name, {})} for name in fields}


__all__ = [
    "are_own_grades",
    "codes_explained",
    "grades_explained",
    "legend_meanings",
    "with_legend",
]
