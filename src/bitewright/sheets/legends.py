"""What a sheet itself says that its codes stand for, in lines such as "CC = cone cut"."""

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise

from bitewright.sheets.cells import Workbook, cell_text, plain
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import meanings
from bitewright.sheets.word_meanings import decision_word, faults_in

WRITTEN = re.compile(
    r"(?:^[#*\u2022\s]*|[;,/]\s*|\s{2,})([^\W_]{1,4})\s*(?:=|:|\u2013|->|\u2192|-)\s*([^\W\d][^;,=]{2,60})"
)
UNSIGNED = re.compile(r"(?:^|[,;:/]\s*)([A-Z]{1,3})\s+([^\W\d_A-Z][^,;:/=]{3,40})")
"""Codes with their meaning behind them, such as "O overlap, C cone cut"."""
COLOURED = re.compile(
    r"(?:^|[,;:/|]\s*)([^\W\d_]{3,10})\s*(?:=|:|\u2013|->|\u2192)\s*([^,;:/|=]{3,60})"
)
LONGEST_CODE, LONGEST_TEXT = 4, 60


def legend_meanings(workbook: Workbook) -> dict[str, dict[str, str]]:
    """Meanings by field and plain code, of all codes that some cells explain."""
    found: dict[str, dict[str, str]] = {"faults": {}, "view": {}, "decision": {}}
    for code, text in _explained(workbook):
        word = plain(code)
        if len(word) > LONGEST_CODE:
            word = meanings("colours").get(word, "")
            if not word:
                continue
        faults = faults_in(text, {}).faults
        if len(faults) == 1:
            found["faults"].setdefault(word, faults[0].partition(":")[0])
        view = view_in(text)
        if view is not None:
            found["view"].setdefault(word, view)
        decision = decision_word(text)
        if decision is not None and not faults:
            found["decision"].setdefault(word, decision)
    return {name: words for name, words in found.items() if words}


def _explained(workbook: Workbook) -> Iterator[tuple[str, str]]:
    """Codes with what stands beside them."""
    for sheet in workbook.sheets:
        for row in sheet.rows:
            texts = [text for cell in row if (text := cell_text(cell))]
            if len(texts) > 4:
                continue
            for text in texts:
                yield from WRITTEN.findall(text)
                if len(texts) == 1:
                    yield from UNSIGNED.findall(text)
                    yield from COLOURED.findall(text)
            for code, text in pairwise(texts):
                is_code = code.isalnum() and len(code) <= LONGEST_CODE
                if is_code and 3 <= len(text) <= LONGEST_TEXT and len(texts) == 2:
                    yield code, text


def with_legend(
    said: Mapping[str, Mapping[str, str]], legend: Mapping[str, Mapping[str, str]]
) -> dict[str, dict[str, str]]:
    """What a person said of words, and what the legend says of others."""
    fields = {*said, *legend}
    return {name: {**legend.get(name, {}), **said.get(name, {})} for name in fields}


__all__ = ["legend_meanings", "with_legend"]
