"""Who is who on a sheet, by what is known of its exposures."""

from collections import Counter
from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.people_asked import PEOPLE
from bitewright.sheets.questions import SheetQuestion
from bitewright.sheets.understanding import Understanding
from trials.sheet_truth import expected_at


def each_person(
    sheet: Understanding, question: SheetQuestion, expected: Sequence[Mapping[str, str]]
) -> tuple[str, ...]:
    """As proposed, and of each spelling that is somebody else who it is."""
    told = _people(sheet, expected)
    spelled = {plain(word.word): word.word for word in question.words}
    said = [f"{question.ask.value}=as-proposed"]
    for word in question.words:
        person = told.get(plain(word.word))
        proposed = told.get(plain(word.proposed)) if word.proposed else None
        if person is None or (word.proposed and proposed in {None, person}):
            continue  # who only stands in rows that do not count is whoever is proposed
        same = [
            spelled[other]
            for other, held in told.items()
            if held == person and other != plain(word.word) and other in spelled
        ]
        if word.proposed or not word.is_known:
            said.append(f"{word.field}.{word.word}={same[0] if same else 'nothing'}")
    return tuple(said)


def _people(sheet: Understanding, expected: Sequence[Mapping[str, str]]) -> dict[str, str]:
    """Who each spelling is: the person of most of its rows."""
    at = expected_at(sheet, expected)
    counts: dict[str, Counter[str]] = {}
    for row in sheet.table.rows:
        for target in PEOPLE:
            heading = sheet.heading(target)
            written = plain(cell_text(row.cells.get(heading))) if heading else ""
            for each in at(row)[:1]:
                if written and each.get(target):
                    counts.setdefault(written, Counter())[each[target]] += 1
    return {written: held.most_common(1)[0][0] for written, held in counts.items()}


__all__ = ["each_person"]
