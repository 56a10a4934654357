"""The table of marks doubted by the picture is of this code."""

from builders.marks_beside_pictures import PAGE, fingerprint
from trials.marks_beside_pictures import pictures_table


def test_the_page_is_of_this_code() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert f"`{fingerprint()}`" in page, "run `python -m builders.marks_beside_pictures`"


def test_marks_are_counted_by_kind_and_way() -> None:
    films = [
        {
            "good": [["outline", False, True, False], ["crest", False, False, False]],
            "moved": [
                ["outline", True, False, True, True, True],
                ["outline", False, False, False, True, False],
            ],
        }
    ]
    rows = pictures_table(films).splitlines()
    assert rows[2] == "| all | any | 2 | 0.0% | 50.0% | 100.0% | 50.0% | 2 | 0.0% | 50.0% | 0.0% |"
    said = "| 1 | 0.0% | 100.0% | 100.0% | 100.0% | | | | |"
    assert f"| edge of a crown | along the row {said}" in rows
