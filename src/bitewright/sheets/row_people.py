"""Who exposed, supervised and decided on the film of a row, by code."""

from collections.abc import Mapping

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.name_spellings import bare_name
from bitewright.sheets.people_asked import PEOPLE, THEMSELVES, people_joined
from bitewright.sheets.pseudonyms import STAFF, Pseudonyms, own_code
from bitewright.sheets.questions import LEAVE_OUT
from bitewright.sheets.read_rows import CellFault, RowFault, RowRead
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.word_meanings import looks_like_name


class PeopleOfRows:
    """Reads the people of rows one by one.

    Parameters
    ----------
    sheet : Understanding
    people : Pseudonyms
    answers : mapping of question to answer
    words : mapping of field to mapping of plain word to meaning
    """

    def __init__(
        self,
        sheet: Understanding,
        people: Pseudonyms,
        answers: Mapping[str, str],
        words: Mapping[str, Mapping[str, str]],
    ) -> None:
        self._sheet, self._people = sheet, people
        self._answers, self._words = answers, words
        self._joined = people_joined(sheet)
        self._initials = {target: self._initials_of(target) for target in PEOPLE}
        self._with_names = {target: self._has_names(target) for target in PEOPLE}

    def put(self, read: RowRead, texts: Mapping[str, str]) -> None:
        """The people of one row; without who exposed it is a fault."""
        for target in PEOPLE:
            heading = self._sheet.heading(target)
            text = texts.get(heading, "") if heading else ""
            if text and (not is_gap(text) or self._is_initials(target, text)):
                read.fields[target] = self._person(target, text)
        if "operator" not in read.fields:
            said = self._answers.get("operator")
            heading = self._sheet.heading("operator")
            if said == "tab" and heading is None:
                read.fields["operator"] = self._people.code(STAFF, read.row.sheet)
            elif said and said != LEAVE_OUT:
                read.fields["operator"] = said
            else:
                read.faults.append(
                    CellFault(heading=heading or "", given="", fault=RowFault.NO_OPERATOR)
                )

    def _is_initials(self, target: str, text: str) -> bool:
        """Whether a mark for nothing is somebody's: NA of a sheet in which N. Ames stands."""
        letters = plain(text).replace(" ", "")
        return letters.isalpha() and letters in self._initials[target]

    def _initials_of(self, target: str) -> frozenset[str]:
        heading = self._sheet.heading(target)
        texts = map(cell_text, self._sheet.table.column(heading)) if heading else ()
        names = {bare_name(text) for text in texts if not is_gap(text)}
        return frozenset("".join(word[0] for word in name) for name in names if len(name) > 1)

    def _person(self, target: str, written: str) -> str:
        text = self._joined.get(plain(written), written)
        said = "" if plain(written) in self._joined else self._code_said(target, written)
        code = said or own_code(text, needs_figure=self._with_names[target])
        if code is None and not self._with_names[target] and len(plain(text)) <= 3:
            code = own_code(plain(text).upper().replace(" ", ""), needs_figure=False)
        return code or self._people.code(STAFF, text)

    def _code_said(self, target: str, text: str) -> str:
        said = self._words.get(target, {}).get(plain(text), "")
        return "" if said in THEMSELVES else said

    def _has_names(self, target: str) -> bool:
        heading = self._sheet.heading(target)
        if heading is None:
            return False
        texts = {cell_text(cell) for cell in self._sheet.table.column(heading)}
        texts |= {self._joined.get(plain(text), text) for text in texts}
        return any(looks_like_name(text) and len(plain(text)) > 3 for text in texts)


GAPS = frozenset(
    {"na", "n a", "nil", "null", "none", "nan", "n n", "unknown", "not known", "not recorded"}
    | {"missing", "blank", "unbekannt", "keine angabe", "inconnu", "inconnue", "non renseigne"}
    | {"desconocido", "sin nombre", "sconosciuto", "desconhecido", "onbekend", "okand", "ukendt"}
    | {"ukjent", "nieznany", "neznamy", "undefined"}
)


def is_gap(text: str) -> bool:
    """Whether a cell is filled with a mark that says nothing."""
    return not plain(text) or plain(text) in GAPS


__all__ = ["PeopleOfRows", "is_gap"]
