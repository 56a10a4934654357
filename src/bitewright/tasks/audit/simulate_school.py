"""Make an invented teaching clinic's year as demo data."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from bitewright.audit.groupings import date_of
from bitewright.audit.simulated_school import SchoolPlan, simulated_school
from bitewright.files.exposures_csv import COLUMNS, write_exposures
from bitewright.files.toml_files import write_toml
from bitewright.log.csv_mapping import MAPPING_FORMAT
from bitewright.tasks.audit.audit_request import AuditWordError, day_of
from bitewright.words.file_notes import import_mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class SchoolMade:
    """What was written and what is planted in it.

    ``mapping``: how `bitewright log import` is to read the table. ``by_chance``: students who aim
    or place off though it was not planted.
    """

    path: Path
    mapping: Path
    exposures: int
    receptor_date: str
    training_date: str
    biased: tuple[str, ...]
    by_chance: tuple[str, ...]


def simulate_school(
    path: Path, *, start: str, seed: int, effects: bool = True, comma: bool = False
) -> SchoolMade:
    """Write a year as CSV, and beside it the mapping that takes it into a store.

    Raises
    ------
    AuditWordError
        If the start is no first day of a month.
    FileUnwritableError
    """
    first = day_of(start, "The start")
    if not start.strip().endswith("-01"):
        raise AuditWordError("The start", start, "YYYY-MM-01, the first day of a month")
    plan = SchoolPlan(first_day=first)
    school = simulated_school(
        plan if effects else plan.without_effects(), np.random.default_rng(seed)
    )
    path = Path(path)
    write_exposures(path, school.log, comma=comma)
    mapping = path.with_suffix(".mapping.toml")
    write_toml(
        mapping,
        {
            "format": MAPPING_FORMAT,
            "decimal": "," if comma else ".",
            "columns": {name: name for name in COLUMNS},
        },
        comment=import_mapping(path.name),
    )
    return SchoolMade(
        path=path,
        mapping=mapping,
        exposures=len(school.log),
        receptor_date=date_of(plan.receptor_day),
        training_date=date_of(plan.training_day),
        biased=school.biased,
        by_chance=school.by_chance,
    )


__all__ = ["SchoolMade", "simulate_school"]
