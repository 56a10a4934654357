"""Measure how marks snap to borders that films show, and write the table of docs/light-box.md.

    python -m builders.snapping_page

Sixteen films of the standard mouth are made anew, which takes a minute or two.
"""

from pathlib import Path

from builders.tables_in_pages import write_tables
from trials.snapped_marks import snapping_films, snapping_table, tried_on

PAGE = Path(__file__).resolve().parents[1] / "docs" / "light-box.md"


def main() -> None:
    """Measure, and write the table."""
    films = list(snapping_films())
    tried = [each for number, film in enumerate(films) for each in tried_on(film, number)]
    table = snapping_table(tried, len(films))
    print(table)
    write_tables(PAGE, {"snapping": table}, said="written by builders/snapping_page.py")


if __name__ == "__main__":
    main()
