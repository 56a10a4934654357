"""One description of a mouth: its teeth, their sizes and places, arches, crest, limits."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from itertools import pairwise
from types import MappingProxyType

from bitewright.errors import BitewrightError, quoted
from bitewright.mouth.tooth_forms import is_upper, tooth_form, tooth_size
from bitewright.mouth.tooth_parts import ToothPart, check_parts

NOMINAL_GAP_MM = 0.02
USUAL_AGE = 35.0


class MouthValueError(BitewrightError):
    """A value in a mouth's description lies outside what a mouth can have."""

    def __init__(self, *, place: str, given: object, low: float, high: float, unit: str) -> None:
        self.place = place
        self.given = given
        super().__init__(
            f"Mouth description: {place} is {quoted(given)}, must be a number from {low:g} to "
            f"{high:g} {unit}; correct that value."
        )


class CurveKind(StrEnum):
    """Which published equation the arch follows."""

    BETA = "beta"
    POLYNOMIAL = "polynomial"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tooth:
    """One tooth: sizes, how it stands, its crest.

    ``present = False`` keeps the space of a missing tooth; a space that has closed is described by
    leaving the tooth out. Angles: tip leans the crown mesially, torque leans it buccally, rotation
    turns its mesial side buccally. [deg] ``out_of_line_mm`` sets it buccally of the arch's line.
    ``mesial_flank_deg`` and ``distal_flank_deg`` turn a crown's flank in section, further to the
    front on the cheek side than usual; ``squareness`` is added to the section's exponent;
    ``buccal_cusps_mm`` and ``lingual_cusps_mm`` set the cusps of a side further to the front.
    Crest is measured from the cemento-enamel
    junction: 0.7 to 1.0 mm at 18 years (Kallestal & Matsson 1989), normal up to 1.5; 1.2 is our
    choice for an adult. [mm] ``defect_mesial_mm`` and ``defect_distal_mm`` make the loss there
    angular: how far the bone at that surface lies below the crest of the septum beside it. [mm]
    ``wear_mm``: how far below the highest cusp's tip, as it grew, everything is worn flat; our
    choice of one level facet for what wear does to a tooth.
    ``parts`` are fillings, caries and the like, seen on films only.
    """

    crown_length_mm: float
    root_length_mm: float
    md_crown_mm: float
    md_cervix_mm: float
    bl_crown_mm: float
    bl_cervix_mm: float
    cej_curve_mesial_mm: float
    cej_curve_distal_mm: float
    enamel_contact_mm: float
    tip_deg: float
    torque_deg: float
    rotation_deg: float = 0.0
    out_of_line_mm: float = 0.0
    crest_mesial_mm: float = 1.2
    crest_distal_mm: float = 1.2
    defect_mesial_mm: float = 0.0
    defect_distal_mm: float = 0.0
    wear_mm: float = 0.0
    mesial_flank_deg: float = 0.0
    distal_flank_deg: float = 0.0
    squareness: float = 0.0
    buccal_cusps_mm: float = 0.0
    lingual_cusps_mm: float = 0.0
    present: bool = True
    parts: tuple[ToothPart, ...] = ()

    @property
    def has_own_shape(self) -> bool:
        """Whether its flanks are given other than the usual ones."""
        return any((self.mesial_flank_deg, self.distal_flank_deg, self.squareness))


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Where two neighbours meet: facet width and the gap left between them. [mm]

    ``rise_mm``: how much nearer the biting edges than usual they meet.
    """

    facet_width_mm: float
    gap_mm: float = NOMINAL_GAP_MM
    rise_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ArchForm:
    """The curve through the crown centres of one arch.

    The polynomial arch also needs the canine point. [mm]
    """

    width_mm: float
    depth_mm: float
    curve: CurveKind = CurveKind.BETA
    canine_width_mm: float = 36.0
    canine_depth_mm: float = 8.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What bounds a receptor in the mouth. [mm]

    ``palate_depth_mm``: top of the vault above the occlusal plane (19, SD 3: from memory).
    ``floor_depth_mm``: floor of the mouth below the lower gingival margin beside the premolars
    (10.28, SD 2.55: Cameron SM et al. J Prosthodont 2002).
    ``opening_limit_mm``: greatest opening at the incisors (41 to 43: Gallagher et al.).
    """

    palate_depth_mm: float = 19.0
    floor_depth_mm: float = 10.28
    opening_limit_mm: float = 42.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mouth:
    """A mouth. Teeth by ISO 3950 code; contacts by the two codes, the one nearer the midline first.

    Contacts not given are the usual ones; those of pairs that are no neighbours are dropped.

    ``molar_shift_mm`` moves the lower arch backwards from the Class I relation.
    ``spee_mm`` is the greatest depth of the curve of Spee.
    ``age_years`` narrows pulps on films, and nothing else.
    """

    name: str
    teeth: Mapping[int, Tooth]
    contacts: Mapping[tuple[int, int], Contact]
    upper: ArchForm
    lower: ArchForm
    spee_mm: float = 1.8
    molar_shift_mm: float = 0.0
    age_years: float = USUAL_AGE
    room: Room = Room()

    def __post_init__(self) -> None:
        object.__setattr__(self, "teeth", MappingProxyType(dict(sorted(self.teeth.items()))))
        pairs = neighbour_pairs(self.teeth)
        contacts = {pair: self.contacts.get(pair) or standard_contact(pair) for pair in pairs}
        object.__setattr__(self, "contacts", MappingProxyType(contacts))
        _check(self)

    def chain(self, *, upper: bool) -> tuple[int, ...]:
        """Codes of one arch from the patient's right to the left, kept spaces included."""
        codes = [code for code in self.teeth if is_upper(code) == upper]
        right = sorted((c for c in codes if c // 10 in (1, 4)), reverse=True)
        left = sorted(c for c in codes if c // 10 in (2, 3))
        return tuple(right + left)

    def mirrored(self) -> "Mouth":
        """The same mouth with left and right exchanged."""
        return replace(
            self,
            teeth={mirrored_code(code): tooth for code, tooth in self.teeth.items()},
            contacts={_mirrored_pair(pair): contact for pair, contact in self.contacts.items()},
        )


def textbook_mouth(*, third_molars: bool = False) -> Mouth:
    """28 (or 32) teeth of the published mean sizes on a beta arch of ordinary form.

    Our choice: arch width and depth 58 x 46 mm (upper) and 53.5 x 42 mm (lower) through the crown
    centres, and the form of `tooth_forms`.
    """
    codes = [q * 10 + p for q in (1, 2, 3, 4) for p in range(1, 9 if third_molars else 8)]
    return Mouth(
        name="textbook mouth",
        teeth={code: textbook_tooth(code) for code in codes},
        contacts={pair: standard_contact(pair) for pair in neighbour_pairs(codes)},
        upper=ArchForm(width_mm=58.0, depth_mm=46.0),
        lower=ArchForm(width_mm=53.5, depth_mm=42.0),
    )


def textbook_tooth(code: int) -> Tooth:
    """The tooth of published mean size with this ISO 3950 code."""
    size, form = tooth_size(code), tooth_form(code)
    sizes = {field.name: getattr(size, field.name) for field in fields(size)}
    return Tooth(
        **sizes,
        enamel_contact_mm=form.enamel_contact_mm,
        tip_deg=form.tip_deg,
        torque_deg=form.torque_deg,
    )


def standard_contact(pair: tuple[int, int]) -> Contact:
    """The usual contact of two neighbours; the facet widens towards the back."""
    return Contact(facet_width_mm=tooth_form(max(pair, key=lambda code: code % 10)).facet_width_mm)


def neighbour_pairs(codes: Iterable[int]) -> list[tuple[int, int]]:
    """Pairs of teeth that stand side by side in each arch, the one nearer the midline first."""
    listed = set(codes)
    pairs = []
    for quadrant in (1, 2, 3, 4):
        own = sorted(c for c in listed if c // 10 == quadrant)
        pairs += list(pairwise(own))
    for right, left in ((1, 2), (4, 3)):
        ends = [min((c for c in listed if c // 10 == q), default=None) for q in (right, left)]
        if ends[0] is not None and ends[1] is not None:
            pairs.append((ends[0], ends[1]))
    return pairs


def mirrored_code(code: int) -> int:
    """The tooth on the other side of the mouth: 16 and 26, 36 and 46."""
    return {1: 2, 2: 1, 3: 4, 4: 3}[code // 10] * 10 + code % 10


def _mirrored_pair(pair: tuple[int, int]) -> tuple[int, int]:
    a, b = mirrored_code(pair[0]), mirrored_code(pair[1])
    crosses = a // 10 != b // 10
    return (b, a) if crosses else (a, b)


# Widest values accepted, by the ending of the field's name. Our choice: beyond any mouth known,
# so that a slip of the decimal point is caught and an unusual mouth is not.
LIMITS: Mapping[str, tuple[float, float, str]] = MappingProxyType(
    {
        "crown_length_mm": (3.0, 16.0, "mm"),
        "root_length_mm": (4.0, 25.0, "mm"),
        "md_crown_mm": (3.0, 16.0, "mm"),
        "md_cervix_mm": (2.0, 14.0, "mm"),
        "bl_crown_mm": (3.0, 16.0, "mm"),
        "bl_cervix_mm": (2.0, 15.0, "mm"),
        "cej_curve_mesial_mm": (0.0, 6.0, "mm"),
        "cej_curve_distal_mm": (0.0, 6.0, "mm"),
        "enamel_contact_mm": (0.2, 3.0, "mm"),
        "tip_deg": (-45.0, 45.0, "degrees"),
        "torque_deg": (-45.0, 45.0, "degrees"),
        "rotation_deg": (-90.0, 90.0, "degrees"),
        "out_of_line_mm": (-8.0, 8.0, "mm"),
        "crest_mesial_mm": (0.0, 15.0, "mm"),
        "crest_distal_mm": (0.0, 15.0, "mm"),
        "defect_mesial_mm": (0.0, 12.0, "mm"),
        "defect_distal_mm": (0.0, 12.0, "mm"),
        "wear_mm": (0.0, 1.0, "mm"),
        "mesial_flank_deg": (-40.0, 40.0, "degrees"),
        "distal_flank_deg": (-40.0, 40.0, "degrees"),
        "squareness": (-0.6, 1.5, "of the exponent"),
        "buccal_cusps_mm": (-4.0, 4.0, "mm"),
        "lingual_cusps_mm": (-4.0, 4.0, "mm"),
        "age_years": (10.0, 110.0, "years"),
        "facet_width_mm": (0.0, 6.0, "mm"),
        "gap_mm": (0.0, 10.0, "mm"),
        "rise_mm": (-4.0, 4.0, "mm"),
        "width_mm": (30.0, 90.0, "mm"),
        "depth_mm": (20.0, 70.0, "mm"),
        "canine_width_mm": (15.0, 60.0, "mm"),
        "canine_depth_mm": (1.0, 25.0, "mm"),
        "spee_mm": (-3.0, 6.0, "mm"),
        "molar_shift_mm": (-8.0, 8.0, "mm"),
        "palate_depth_mm": (5.0, 35.0, "mm"),
        "floor_depth_mm": (2.0, 30.0, "mm"),
        "opening_limit_mm": (10.0, 80.0, "mm"),
    }
)


def _check(mouth: Mouth) -> None:
    for code, tooth in mouth.teeth.items():
        _check_fields(f"tooth {code}", tooth)
        _check_defects(code, tooth)
        check_parts(code, tooth.parts)
    for pair, contact in mouth.contacts.items():
        _check_fields(f"contact {pair[0]}-{pair[1]}", contact)
    _check_fields("upper arch", mouth.upper)
    _check_fields("lower arch", mouth.lower)
    _check_fields("room", mouth.room)
    _check_fields("mouth", mouth)


def _check_defects(code: int, tooth: Tooth) -> None:
    """A defect reaches down from a septum's crest, which lies no higher than the neck."""
    for side, depth, crest in (
        ("mesial", tooth.defect_mesial_mm, tooth.crest_mesial_mm),
        ("distal", tooth.defect_distal_mm, tooth.crest_distal_mm),
    ):
        if depth > crest:
            place = f"tooth {code} defect_{side}_mm (with crest_{side}_mm {crest:g})"
            raise MouthValueError(place=place, given=depth, low=0.0, high=crest, unit="mm")


def _check_fields(owner: str, value: object) -> None:
    for field in fields(value):  # type: ignore[arg-type]  # always one of the dataclasses above
        if field.name not in LIMITS:
            continue
        low, high, unit = LIMITS[field.name]
        given = getattr(value, field.name)
        is_number = isinstance(given, int | float) and not isinstance(given, bool)
        if not (is_number and low <= given <= high):  # NaN fails the comparison
            raise MouthValueError(
                place=f"{owner} {field.name}", given=given, low=low, high=high, unit=unit
            )


__all__ = [
    "LIMITS",
    "USUAL_AGE",
    "ArchForm",
    "Contact",
    "CurveKind",
    "Mouth",
    "MouthValueError",
    "Room",
    "Tooth",
    "mirrored_code",
    "neighbour_pairs",
    "standard_contact",
    "textbook_mouth",
    "textbook_tooth",
]
