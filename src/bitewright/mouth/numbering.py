"""Tooth names by ISO 3950, with Universal and Palmer as ways to show them.

A name says side, arch, generation and place in the row counted from the midline. It says nothing
about where a tooth stands in a particular mouth: teeth may be missing, moved or mixed with primary
teeth, so neighbours here are neighbours by name; a mouth knows its own.
"""

from dataclasses import dataclass
from enum import Enum

from bitewright.errors import BitewrightError, quoted


class UnknownToothError(BitewrightError):
    """A tooth was named in a way the notation does not hold."""

    def __init__(self, given: object, notation: "Notation | None" = None) -> None:
        self.given = given
        self.notation = notation or Notation.ISO
        super().__init__(
            f"Tooth {quoted(given)} is not known in {self.notation.value}: give "
            f"{_ALLOWED[self.notation]}."
        )


class Notation(Enum):
    """A way to write a tooth's name; ISO is used in every file, the others only for display."""

    ISO = "ISO 3950"
    UNIVERSAL = "Universal numbering"
    PALMER = "Palmer notation"


class Side(Enum):
    """The patient's side."""

    RIGHT = "right"
    LEFT = "left"

    @property
    def other(self) -> "Side":
        """The side across the midline."""
        return Side.LEFT if self is Side.RIGHT else Side.RIGHT


class Arch(Enum):
    """Upper or lower row of teeth."""

    UPPER = "upper"
    LOWER = "lower"

    @property
    def other(self) -> "Arch":
        """The facing arch."""
        return Arch.LOWER if self is Arch.UPPER else Arch.UPPER


class ToothKind(Enum):
    """What a tooth is, whichever side, arch or generation."""

    CENTRAL_INCISOR = "central incisor"
    LATERAL_INCISOR = "lateral incisor"
    CANINE = "canine"
    FIRST_PREMOLAR = "first premolar"
    SECOND_PREMOLAR = "second premolar"
    FIRST_MOLAR = "first molar"
    SECOND_MOLAR = "second molar"
    THIRD_MOLAR = "third molar"


@dataclass(frozen=True, order=True, slots=True)
class ToothName:
    """One tooth by its two-digit ISO 3950 code; sorted by code, `str()` gives the code.

    The first digit is the quadrant seen from the front, clockwise from the patient's upper right:
    1 to 4 for permanent, 5 to 8 for primary teeth. The second counts from the midline.

    Parameters
    ----------
    code : int
        11 to 18, 21 to 28, 31 to 38, 41 to 48; primary 51 to 55, 61 to 65, 71 to 75, 81 to 85.

    Raises
    ------
    UnknownToothError
        If the code is none of these.

    References
    ----------
    .. [1] ISO 3950, Dentistry: designation system for teeth and areas of the oral cavity. The
       rule is given from memory and checked against a table of all 52 codes.

    Examples
    --------
    >>> tooth = ToothName(16)
    >>> str(tooth), tooth.words, str(tooth.mirrored)
    ('16', 'upper right first molar', '26')
    """

    code: int

    def __post_init__(self) -> None:
        if type(self.code) is not int or self.code not in _CODES:
            raise UnknownToothError(self.code)

    def __str__(self) -> str:
        return str(self.code)

    @property
    def quadrant(self) -> int:
        """1 to 4: upper right, upper left, lower left, lower right, in either generation."""
        return (self.code // 10 - 1) % 4 + 1

    @property
    def position(self) -> int:
        """Place in the row counted from the midline, 1 to 8 (primary 1 to 5)."""
        return self.code % 10

    @property
    def is_primary(self) -> bool:
        """Whether it is a primary (milk) tooth."""
        return self.code > 50

    @property
    def side(self) -> Side:
        """The patient's side."""
        return Side.RIGHT if self.quadrant in (1, 4) else Side.LEFT

    @property
    def arch(self) -> Arch:
        """Upper or lower."""
        return Arch.UPPER if self.quadrant in (1, 2) else Arch.LOWER

    @property
    def kind(self) -> ToothKind:
        """What it is: the fourth and fifth primary teeth are molars."""
        return (_PRIMARY_KINDS if self.is_primary else _PERMANENT_KINDS)[self.position - 1]

    @property
    def is_molar(self) -> bool:
        """Whether it is a molar of either generation."""
        return self.kind in _PERMANENT_KINDS[5:]

    @property
    def is_premolar(self) -> bool:
        """Whether it is a premolar."""
        return self.kind in _PERMANENT_KINDS[3:5]

    @property
    def words(self) -> str:
        """The name in words: 'upper right first molar', 'lower left primary canine'."""
        generation = "primary " if self.is_primary else ""
        return f"{self.arch.value} {self.side.value} {generation}{self.kind.value}"

    @property
    def mirrored(self) -> "ToothName":
        """The same tooth on the other side: 16 and 26, 46 and 36."""
        return self._in_quadrant({1: 2, 2: 1, 3: 4, 4: 3}[self.quadrant])

    def _in_quadrant(self, quadrant: int) -> "ToothName":
        return ToothName((quadrant + 4 * self.is_primary) * 10 + self.position)

    def shown(self, notation: Notation) -> str:
        """The name in a notation: 16, or 3 in Universal, or UR6 in Palmer."""
        return {
            Notation.ISO: str(self.code),
            Notation.UNIVERSAL: _universal(self),
            Notation.PALMER: _palmer(self),
        }[notation]


def parse_tooth(given: str | int, *, notation: Notation = Notation.ISO) -> ToothName:
    """The tooth a person or a file named.

    Parameters
    ----------
    given : str or int
        Such as "16" or 16; "3" or "A" in Universal, "UR6" or "URA" in Palmer. Space around it
        and small letters do no harm.
    notation : Notation
        How it is written. Files always use ISO.

    Raises
    ------
    UnknownToothError
        If that notation has no such tooth.
    """
    text = "" if isinstance(given, bool) else str(given).strip().upper()
    tooth = _BY_TEXT[notation].get(text)
    if tooth is None:
        raise UnknownToothError(given, notation)
    return tooth


def teeth_along_arch(arch: Arch, *, primary: bool = False) -> tuple[ToothName, ...]:
    """All names of one generation from the patient's right to the left: 18 ... 11, 21 ... 28."""
    teeth = [t for t in ALL_TEETH if t.arch is arch and t.is_primary is primary]
    return tuple(sorted(teeth, key=lambda t: t.position * (-1 if t.side is Side.RIGHT else 1)))


def _universal(tooth: ToothName) -> str:
    # Once round the mouth: upper right to upper left, then lower left to lower right.
    length = 5 if tooth.is_primary else 8
    towards_midline = tooth.quadrant in (1, 3)
    along = length - tooth.position if towards_midline else tooth.position - 1
    index = (tooth.quadrant - 1) * length + along
    return "ABCDEFGHIJKLMNOPQRST"[index] if tooth.is_primary else str(index + 1)


def _palmer(tooth: ToothName) -> str:
    place = "ABCDE"[tooth.position - 1] if tooth.is_primary else str(tooth.position)
    return f"{tooth.arch.value[0]}{tooth.side.value[0]}".upper() + place


_PERMANENT_KINDS = tuple(ToothKind)
_PRIMARY_KINDS = (*_PERMANENT_KINDS[:3], ToothKind.FIRST_MOLAR, ToothKind.SECOND_MOLAR)
_CODES = frozenset(
    quadrant * 10 + position
    for quadrant in range(1, 9)
    for position in range(1, 9 if quadrant <= 4 else 6)
)
_ALLOWED = {
    Notation.ISO: "a two-digit ISO 3950 code such as 16 (permanent 11-18, 21-28, 31-38, 41-48; "
    "primary 51-55, 61-65, 71-75, 81-85)",
    Notation.UNIVERSAL: "1 to 32 for a permanent or A to T for a primary tooth",
    Notation.PALMER: "UR, UL, LL or LR followed by 1 to 8 for a permanent or A to E for a primary "
    "tooth",
}

ALL_TEETH = tuple(ToothName(code) for code in sorted(_CODES))
PERMANENT_TEETH = tuple(tooth for tooth in ALL_TEETH if not tooth.is_primary)
PRIMARY_TEETH = tuple(tooth for tooth in ALL_TEETH if tooth.is_primary)
_BY_TEXT = {
    notation: {tooth.shown(notation): tooth for tooth in ALL_TEETH} for notation in Notation
}

__all__ = [
    "ALL_TEETH",
    "PERMANENT_TEETH",
    "PRIMARY_TEETH",
    "Arch",
    "Notation",
    "Side",
    "ToothKind",
    "ToothName",
    "UnknownToothError",
    "parse_tooth",
    "teeth_along_arch",
]
