"""Names of the points a person can mark, or the model can project, on a bitewing.

``<tooth>.<surface>``
    The outermost point of the crown's outline there, where the contact is: ``15.mesial``.
``<tooth>.<surface>.<feature>``
    On that side of the tooth: ``dej`` where enamel meets dentine at the height of the contact,
    ``cej`` where enamel meets root, ``crest`` the bone crest beside it: ``15.mesial.crest``.
``<tooth>.<cusp>.cusp``
    A cusp's tip: ``16.mesiobuccal.cusp``. "Lingual" is used in the upper jaw too.

Teeth are ISO 3950 codes.
"""

from dataclasses import dataclass
from enum import Enum

from bitewright.errors import BitewrightError, quoted
from bitewright.mouth.numbering import ToothName, parse_tooth


class UnknownLandmarkError(BitewrightError):
    """A landmark's name does not follow the grammar."""

    def __init__(self, given: object, allowed: str) -> None:
        self.given = given
        self.allowed = allowed
        super().__init__(f"Landmark {quoted(given)} is not known: give {allowed}.")


class Surface(Enum):
    """The side of a tooth that faces its neighbour in the row."""

    MESIAL = "mesial"
    DISTAL = "distal"


class Feature(Enum):
    """What is marked at a surface."""

    OUTLINE = ""
    DEJ = "dej"
    CEJ = "cej"
    CREST = "crest"


class Cusp(Enum):
    """Where on the crown a cusp stands; a canine's is its tip, an incisor's its edge's middle."""

    EDGE = "edge"
    TIP = "tip"
    BUCCAL = "buccal"
    LINGUAL = "lingual"
    MESIOBUCCAL = "mesiobuccal"
    DISTOBUCCAL = "distobuccal"
    MESIOLINGUAL = "mesiolingual"
    DISTOLINGUAL = "distolingual"
    DISTAL = "distal"


@dataclass(frozen=True, kw_only=True, slots=True)
class SurfaceLandmark:
    """A point at one side of a tooth: its outline, enamel, cemento-enamel junction or crest."""

    tooth: ToothName
    surface: Surface
    feature: Feature = Feature.OUTLINE

    def __str__(self) -> str:
        end = f".{self.feature.value}" if self.feature.value else ""
        return f"{self.tooth}.{self.surface.value}{end}"


@dataclass(frozen=True, kw_only=True, slots=True)
class CuspLandmark:
    """The tip of one cusp."""

    tooth: ToothName
    cusp: Cusp

    def __str__(self) -> str:
        return f"{self.tooth}.{self.cusp.value}.cusp"


LandmarkName = SurfaceLandmark | CuspLandmark


def parse_landmark(name: str) -> LandmarkName:
    """The landmark a name stands for; `str()` of it gives the same name back.

    Raises
    ------
    UnknownToothError
        If the part before the first dot is no ISO 3950 code.
    UnknownLandmarkError
        If the rest is not in the grammar, or the tooth has no such cusp.

    Examples
    --------
    >>> parse_landmark("15.mesial.crest").feature
    <Feature.CREST: 'crest'>
    """
    code, _, rest = name.partition(".")
    tooth = parse_tooth(code)
    landmark = _SURFACE_PLACES.get(rest)
    if landmark is not None and code == str(tooth):
        return SurfaceLandmark(tooth=tooth, surface=landmark[0], feature=landmark[1])
    for cusp in cusps_of(tooth):
        if name == f"{tooth}.{cusp.value}.cusp":
            return CuspLandmark(tooth=tooth, cusp=cusp)
    raise UnknownLandmarkError(name, _allowed(tooth))


def cusps_of(tooth: ToothName) -> tuple[Cusp, ...]:
    """Cusps a tooth of this name can have; a particular tooth may have fewer.

    Upper and lower molars may have a fifth, distal cusp and second premolars a divided lingual
    one (textbook anatomy, from memory). An incisor's edge counts as its cusp.
    """
    if tooth.is_molar:
        return _MOLAR_CUSPS
    if tooth.is_premolar:
        return (Cusp.BUCCAL, Cusp.LINGUAL, Cusp.MESIOLINGUAL, Cusp.DISTOLINGUAL)
    return (Cusp.TIP,) if tooth.position == 3 else (Cusp.EDGE,)


def _allowed(tooth: ToothName) -> str:
    cusps = ", ".join(f"'{tooth}.{cusp.value}.cusp'" for cusp in cusps_of(tooth))
    surfaces = (
        f"'{tooth}.mesial' or '{tooth}.distal', alone or followed by '.dej', '.cej' or '.crest'"
    )
    return f"{surfaces}, or a cusp of this tooth: {cusps}"


_SURFACE_PLACES = {
    surface.value + (f".{feature.value}" if feature.value else ""): (surface, feature)
    for surface in Surface
    for feature in Feature
}
_MOLAR_CUSPS = (
    Cusp.MESIOBUCCAL,
    Cusp.DISTOBUCCAL,
    Cusp.MESIOLINGUAL,
    Cusp.DISTOLINGUAL,
    Cusp.DISTAL,
)

__all__ = [
    "Cusp",
    "CuspLandmark",
    "Feature",
    "LandmarkName",
    "Surface",
    "SurfaceLandmark",
    "UnknownLandmarkError",
    "cusps_of",
    "parse_landmark",
]
