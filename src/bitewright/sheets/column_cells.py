"""How well what stands in a column fits each thing that a column may hold."""

import re

from bitewright.sheets.cells import plain
from bitewright.sheets.cells_alone import rises
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.marks_under_headings import FEW_MARKED
from bitewright.sheets.view_words import is_place
from bitewright.sheets.vocabulary import heading_scores, longest_held, meanings
from bitewright.sheets.word_meanings import decision_word, is_nothing

MOSTLY = 0.8
SELDOM = 0.3
"""Share of rows that do not count, from which a column says something else. Our choice."""
MOST_TRIES = 6
"""Exposures of one view, beyond which a number counts something else. Our choice."""
NUMBER_RANGES = {
    "tube_voltage_kv": (40.0, 120.0),
    "tube_current_ma": (0.1, 50.0),
    "fault_size": (0.0, 60.0),
}


def fit_of_cells(facts: ColumnFacts, target: str) -> float:  # noqa: C901, PLR0911, PLR0912  one a thing
    """How well a column's cells fit a thing: 1 and more where they say it, below 0 where not."""
    if target == "day":
        return _of_days(facts) - LESS * _tells_when_written(facts)
    if target in {"private", "beside"}:
        return (
            -6.0
            if facts.decisions > 0.6 or facts.grades > 0.9 > facts.numbers_between(0, 1e9)
            else 0.4
        )
    if target == "holder" and facts.receptors > 0.6:
        return -4.0
    if facts.own_days > 0.6:
        return -6.0
    if target in {"month", "year"}:
        return 0.3 if facts.days < 0.5 else -3.0
    if target == "key":
        differ = facts.unlike > 0.9 or rises(facts)
        is_code = facts.codes > 0.9 or facts.numbers_between(0, 1e9) > 0.9
        return 0.8 if is_code and differ and facts.filled > 0.7 else -2.5
    if target == "case":
        return 0.4 if facts.views < 0.5 else -2.0
    if target in {"operator", "supervisor", "decided_by"}:
        return _of_people(facts)
    if target in {"level", "room", "receptor", "holder", "reason"}:
        return _of_words(facts, target)
    if target in {"view", "side", "region", "teeth"}:
        return _of_place(facts, target)
    if target == "rating":
        return 1.2 if facts.are_grades else 0.6 if facts.is_scale else -5.0
    if target == "decision":
        return _of_decision(facts)
    if target in {"rejected", "retake", "retaken", "is_retake"}:
        likely = max(facts.flags, facts.decisions if target != "is_retake" else 0.0, facts.kinds)
        one_mark = len(facts.counts) == 1 and facts.filled < 0.6
        return 1.0 if likely >= 0.7 or one_mark else (0.0 if target == "retake" else -2.0)
    if target == "void":
        return 1.2 if facts.flags > 0.9 and facts.marked < SELDOM else -6.0
    if target == "tries":
        return 1.2 if facts.numbers_between(0, MOST_TRIES) > 0.9 and facts.distinct > 1 else -4.0
    if target == "retake_of":
        numbered = facts.share(lambda text: any(each.isdigit() for each in text))
        return 0.6 if facts.filled < 0.7 and facts.flags < 0.8 and numbered > 0.8 else -4.0
    if target == "kind":
        return 1.0 if facts.kinds >= 0.7 else -4.0
    if target == "faults":
        return 1.8 * facts.faults + 0.2 if facts.faults >= 0.35 else -4.0
    if target == "exposure_time_s" and facts.share(_is_clock) > 0.8:
        return -4.0
    if target == "exposure_time_s":
        return 1.2 if facts.numbers_between(0.001, 10_000) >= 0.8 and facts.flags < 0.9 else -4.0
    if target in NUMBER_RANGES:
        return 1.2 if facts.numbers_between(*NUMBER_RANGES[target]) >= 0.8 else -4.0
    if max(facts.sides, facts.regions, facts.views) > MOSTLY:
        return -2.0  # no remark says a side in nearly every row
    if max(facts.codes, facts.numbers_between(0, 1e9)) > MOSTLY and facts.filled > MOSTLY:
        return -1.5  # a code in nearly every row is no remark
    return 0.2 if facts.length > 3 else -1.0


def _is_clock(text: str) -> bool:
    """Whether a text is a time of day from six in the morning on, such as 08.40."""
    found = CLOCK.fullmatch(text)
    return found is not None and int(found[1]) >= 6


CLOCK = re.compile(r"([01]?\d|2[0-3])[.:h]([0-5]\d)")


def _tells_when_written(facts: ColumnFacts) -> bool:
    """Whether days are likely those on which a row was typed, sent or looked over."""
    timed = facts.share(lambda text: TIMED.search(text) is not None) > MOSTLY
    return timed or not WHEN_WRITTEN.isdisjoint(plain(facts.heading).split())


LESS = 0.8
"""How much less a day counts that tells when a row was written. Our choice."""
TIMED = re.compile(r"\d[T ,]+\d{1,2}[:.]\d{2}")
WHEN_WRITTEN = frozenset(
    {"timestamp", "stamp", "zeitstempel", "horodateur", "horodatage", "temporal", "cronologiche"}
    | {"carimbo", "tijdstempel", "tidsstempel", "tidsstampel", "submitted", "submission", "entered"}
    | {"entry", "created", "creation", "modified", "updated", "changed", "exported", "printed"}
    | {"reviewed", "review", "checked", "audited", "audit", "received", "uploaded", "saved"}
    | {"eingetragen", "eintrag", "eintragung", "erfasst", "erfassung", "angelegt", "geandert"}
    | {"gepruft", "prufung", "ausgewertet", "auswertung", "saisi", "saisie", "cree", "creee"}
    | {"enregistre", "modifie", "controle", "relecture", "registrado", "registro", "creado"}
    | {"creacion", "modificado", "revisado", "revision", "criado", "criacao", "registado"}
    | {"inserito", "inserimento", "creato", "modificato", "controllo", "revisione", "ingevoerd"}
    | {"invoer", "invoerdatum", "aangemaakt", "gewijzigd", "beoordeeld", "oprettet", "indtastet"}
    | {"opprettet", "registrert", "skapad", "inmatad", "wprowadzono", "utworzono", "zapsano"}
)
"""Words of headings over the day on which a row was typed, sent or looked over, and not exposed.
Common practice, no source."""


def _of_days(facts: ColumnFacts) -> float:
    if facts.days < 0.5 and facts.serials > 0.7:
        return 0.5
    if facts.days + facts.serials > MOSTLY and facts.own_days > 0:
        return 1.0 + 1.5 * facts.own_days  # some lost their format
    return 1.0 + 1.5 * facts.own_days if facts.days >= 0.6 else _number_of_day(facts)


def _of_people(facts: ColumnFacts) -> float:
    is_graded = facts.grades >= 0.9 and heading_scores(facts.heading).get("rating")
    if facts.share(lambda text: any(map(str.isalnum, text))) < 0.5:
        return -3.0  # nobody is called ***
    is_other = is_graded or facts.decisions >= 0.1 or max(facts.flags, facts.faults) >= 0.8
    return -2.0 if is_other else 0.3


def _number_of_day(facts: ColumnFacts) -> float:
    if facts.days_of_month > 0.9 or facts.weekdays:
        return 0.2 if facts.days_of_month > 0.9 else 0.1
    return -6.0


def _of_words(facts: ColumnFacts, target: str) -> float:
    if facts.views > 0.6 or (facts.unlike > 0.9 and facts.rows > 20 and target != "reason"):
        return -2.0
    if target == "reason" and (facts.faults > 0.5 or facts.filled < FEW_MARKED):
        return -2.5
    return 0.3


def _of_place(facts: ColumnFacts, target: str) -> float:
    if target == "view":
        if facts.views >= 0.4:
            return 2.3 * facts.views
        known = meanings("films")
        said = facts.share(lambda text: longest_held(plain(text), known) is not None)
        sides = max(facts.sides, facts.share(is_place))
        return 1.0 if said > 0.5 or (sides > 0.6 and facts.filled > 0.6) else -2.5
    if target == "side":
        return 1.5 if facts.sides > 0.8 else -4.0
    if target == "region":
        return 1.5 if facts.regions > 0.8 else 1.0 if facts.places > 0.8 else -4.0
    return (1.0 if facts.views < 0.5 else 0.2) if facts.teeth > 0.6 else -4.0


def _of_decision(facts: ColumnFacts) -> float:
    if facts.decisions >= 0.6:
        return 1.2 + 1.2 * facts.decisions
    if facts.flags >= 0.7:
        return 1.0
    said = facts.share(lambda text: is_nothing(text) or decision_word(text) is not None)
    return 0.8 if said >= 0.9 and facts.decisions > 0 else -4.0


__all__ = ["MOSTLY", "fit_of_cells"]
