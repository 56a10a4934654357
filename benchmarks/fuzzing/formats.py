"""Mutated files of every format, each read as a command or a page reads it."""

from collections.abc import Callable
from pathlib import Path
from random import Random

from benchmarks.fuzzing.mutations import (
    document_text,
    mutated_bytes,
    mutated_document,
    mutated_text,
)
from benchmarks.fuzzing.sound import Sound
from bitewright.equipment.catalogue import catalogue_from_mapping
from bitewright.errors import BitewrightError
from bitewright.files.belief_file import read_belief
from bitewright.files.csv_rows import rows_of_csv
from bitewright.files.entry_files import read_entries
from bitewright.files.marks_file import read_marks
from bitewright.files.ratings_csv import read_ratings
from bitewright.files.scatter_file import read_scatter
from bitewright.files.toml_files import read_toml
from bitewright.mouth.mouth_description import mouth_from_description, mouth_to_description
from bitewright.tasks.assess.decoded_film import read_film
from bitewright.tasks.audit.audit_schemes import audit_scheme
from bitewright.tasks.audit.compare_audit_cycles import compare_audit_cycles, comparison_document
from bitewright.tasks.log.assessed_fields import assessed_fields
from bitewright.tasks.log.back_up_store import restore_store
from bitewright.tasks.log.import_exposures import ImportRequest, import_exposures
from bitewright.tasks.log.table_rows import read_exposures

Trial = Callable[[Random, Path], str]
"""Tries one input in a folder of its own: "taken", "refused" or "same". Raises on a fault."""


class FuzzFaultError(Exception):
    """Something was left behind, or a sentence is none."""


def format_trials(sound: Sound) -> dict[str, Trial]:
    """A trial for each format."""
    films = list(sound.films.values())

    def film(random: Random, folder: Path) -> str:
        return _tried(folder / "film", random.choice(films), mutated_bytes, random, read_film)

    trials: dict[str, Trial] = {"film": film}
    for name, read in DOCUMENTS.items():
        trials[name] = _document_trial(sound.documents[name], read)
    for name, read in TEXTS.items():
        trials[name] = _text_trial(sound.texts[name], read)
    for ending, read in FILES.items():
        trials[f"entries{ending}"] = _file_trial(sound.files[ending], ending, read)
    return trials


def sentence_faults(error: BitewrightError, *, longest: int = 2000) -> str | None:
    """What is wrong with a refusal's sentence."""
    said = str(error)
    if not said.isprintable():
        return f"cannot be printed: {said!r:.200}"
    if len(said) > longest:
        return f"has {len(said)} characters: {said[:200]}"
    return None


def _tried(
    path: Path,
    sound: bytes,
    mutate: Callable[[Random, bytes], bytes],
    random: Random,
    read: Callable[[Path], object],
) -> str:
    made = mutate(random, sound)
    path.write_bytes(made)
    before = _names(path.parent)
    outcome = "same" if made == sound else "taken"
    try:
        read(path)
    except BitewrightError as error:
        fault = sentence_faults(error)
        if fault:
            raise FuzzFaultError(fault) from error
        outcome = "refused"
        left = _names(path.parent) - before
        if left:
            raise FuzzFaultError(f"left behind: {sorted(left)}") from error
    return outcome


def _names(folder: Path) -> set[str]:
    return {str(each.relative_to(folder)) for each in folder.rglob("*")}


def _document_trial(document: object, read: Callable[[Path], object]) -> Trial:
    def trial(random: Random, folder: Path) -> str:
        made = document_text(random, mutated_document(random, document))
        return _tried(folder / "a.json", b"", lambda _r, _s: made, random, read)

    return trial


def _text_trial(text: str, read: Callable[[Path], object]) -> Trial:
    def trial(random: Random, folder: Path) -> str:
        made = mutated_text(random, text)
        return _tried(folder / "a.toml", text.encode(), lambda _r, _s: made, random, read)

    return trial


def _file_trial(content: bytes, ending: str, read: Callable[[Path], object]) -> Trial:
    def trial(random: Random, folder: Path) -> str:
        mutate = mutated_bytes
        if ending in {".jsonl", ".csv"} and random.random() < 0.6:
            made = mutated_text(random, content.decode("utf-8-sig"))
            return _tried(folder / f"a{ending}", content, lambda _r, _s: made, random, read)
        return _tried(folder / f"a{ending}", content, mutate, random, read)

    return trial


def _assessed(path: Path) -> object:
    return assessed_fields(path.read_bytes(), str(path))


def _mouth(path: Path) -> object:
    return mouth_to_description(mouth_from_description(read_toml(path)))


def _equipment(path: Path) -> object:
    return catalogue_from_mapping(read_toml(path))


def _compared(path: Path) -> object:
    return comparison_document(compare_audit_cycles(path))


def _scheme(path: Path) -> object:
    return audit_scheme(str(path))


def _imported_by(path: Path) -> object:
    table = path.with_name("sound.csv")
    table.write_text(TABLE_FOR_MAPPING, encoding="utf-8")
    return _imported(table, path)


def _imported_table(path: Path) -> object:
    mapping = path.with_name("mapping.toml")
    mapping.write_text(MAPPING_FOR_TABLE, encoding="utf-8")
    return _imported(path, mapping)


def _imported(table: Path, mapping: Path) -> object:
    before = {mapping, table}
    store = table.with_name("log.sqlite")
    try:
        return import_exposures(ImportRequest(table=table, mapping=mapping, store=str(store)))
    finally:
        for each in (*before, *table.parent.glob("log.sqlite*")):
            each.unlink(missing_ok=True)


def _exposures(path: Path) -> object:
    return read_exposures(path)


def _entries(path: Path) -> object:
    return list(read_entries(path))


def _restored(path: Path) -> object:
    return restore_store(path, str(path.with_name("new.sqlite")))


def _rows(path: Path) -> object:
    return list(rows_of_csv(path, separator=None, encoding=None))


from benchmarks.fuzzing.sound import MAPPING as MAPPING_FOR_TABLE  # noqa: E402
from benchmarks.fuzzing.sound import TABLE as TABLE_FOR_MAPPING  # noqa: E402

DOCUMENTS: dict[str, Callable[[Path], object]] = {
    "marks": read_marks,
    "belief": read_belief,
    "scatter": read_scatter,
    "assessment": _assessed,
}
TEXTS: dict[str, Callable[[Path], object]] = {
    "mouth": _mouth,
    "equipment": _equipment,
    "plan": _compared,
    "scheme": _scheme,
    "mapping": _imported_by,
    "table": _imported_table,
    "ratings": read_ratings,
    "school": _exposures,
}
FILES: dict[str, Callable[[Path], object]] = {
    ".jsonl": _entries,
    ".csv": _entries,
    ".parquet": _entries,
    ".zip": _restored,
}

__all__ = ["FuzzFaultError", "Trial", "format_trials", "sentence_faults"]
