"""Every public name with a unit is in the glossary, with meaning, unit and sign."""

from builders.glossary import entries, unit_fields


def test_every_field_with_a_unit_is_explained() -> None:
    known = {entry.word for entry in entries()}
    missing = {f.word: f.where for f in unit_fields() if f.word not in known}
    lines = [f"{word} ({where})" for word, where in sorted(missing.items())]
    assert not lines, (
        f"{len(lines)} words missing from docs/glossary.md; `python -m builders.glossary` prints "
        "rows to complete:\n" + "\n".join(lines)
    )


def test_units_in_the_glossary_are_the_names_own() -> None:
    units = {entry.word: entry.unit for entry in entries()}
    wrong = {
        f"{field.word}: glossary says {units[field.word]!r}, the name says {field.unit!r}"
        for field in unit_fields()
        if units.get(field.word, field.unit) != field.unit
    }
    assert not wrong, "\n".join(sorted(wrong))


def test_rows_are_complete() -> None:
    assert entries(), "docs/glossary.md has no row whose first cell is a code word"
    open_rows = [
        entry.word
        for entry in entries()
        if "" in (entry.meaning, entry.unit, entry.sign) or "?" in (entry.meaning, entry.sign)
    ]
    assert not open_rows, f"meaning, unit or sign is missing for: {', '.join(open_rows)}"


def test_no_word_is_explained_twice() -> None:
    words = [entry.word for entry in entries()]
    twice = sorted({word for word in words if words.count(word) > 1})
    assert not twice, f"one word, one meaning: {', '.join(twice)}"
