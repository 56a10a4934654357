"""How an entry says which import it came with: in its reason, sealed with the rest."""

import re
from dataclasses import dataclass

BEGINS = "import "
REASON = re.compile(r"import (?P<id>[0-9a-f]{8}) of (?P<sheet>.*)")
LONGEST_NAME = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportName:
    """An import.

    Parameters
    ----------
    id : str
        Eight hexadecimal digits.
    sheet : str
        Name of the file that it was of.
    """

    id: str
    sheet: str

    def reason(self) -> str:
        """What its entries give as their reason."""
        name = "".join(letter for letter in self.sheet if letter.isprintable())[:LONGEST_NAME]
        return f"{BEGINS}{self.id} of {name}"


def import_of(why: str | None) -> ImportName | None:
    """The import that an exposure came with; None where it came with none."""
    found = REASON.fullmatch(why or "")
    return None if found is None else ImportName(id=found["id"], sheet=found["sheet"])


__all__ = ["BEGINS", "ImportName", "import_of"]
