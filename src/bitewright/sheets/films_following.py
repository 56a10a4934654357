"""Films right after one that was taken again: the same patient, day and view make the retake."""

from bitewright.sheets.cells import plain
from bitewright.sheets.read_rows import RowFault, RowRead
from bitewright.sheets.row_views import written_view
from bitewright.sheets.understanding import Understanding

TELLING = ("kind", "is_retake", "retake_of", "retake")
"""What a column may hold that says itself of each film whether it is a retake."""


class FilmsFollowing:
    """The films of a sheet that were taken again and whose retake did not come yet.

    Where a sheet says that a film was taken again, and no column says which films are retakes, the
    next film of that patient, day, side and region is the one that was taken in its place.
    """

    def __init__(self, sheet: Understanding) -> None:
        self._sheet = sheet
        self._is_said = any(sheet.has(target) for target in TELLING)
        self._awaited: set[tuple[str, ...]] = set()

    def put(self, read: RowRead) -> None:
        """Call a row a retake where it follows such a film; remember it where it is one itself."""
        film = self._film(read)
        if self._is_said or film is None:
            return
        if any(each.fault is RowFault.SAME_AS_ABOVE for each in read.faults):
            return
        if film in self._awaited:
            read.fields.setdefault("kind", "retake")
            self._awaited.discard(film)
        if read.fields.get("decision") == "retaken":
            self._awaited.add(film)

    def _film(self, read: RowRead) -> tuple[str, ...] | None:
        """What two films of one place have in common; None where a row does not tell all of it."""
        told = tuple(read.fields.get(name, "") for name in ("day", "case", "view"))
        if not all(told):
            return None
        is_sided = told[-1].startswith(("right-", "left-"))
        place = "" if is_sided else plain(written_view(self._sheet, read.row))
        if not is_sided and not any(map(str.isdigit, place)):
            return None
        return (read.row.sheet, *told, place)


__all__ = ["FilmsFollowing"]
