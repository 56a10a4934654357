"""What is known of a mouth before any film of it: how much mouths differ, and in which ways.

A mouth of the population is the mean mouth moved along independent directions, each by a standard
normal amount. Sizes and stances vary partly together over a whole arch and partly tooth by tooth.
Both sides of a mouth are alike here; what makes them differ is left to the marks' allowance.

Spreads and their sources:

- arch width 2.8 (upper) and 2.6 mm (lower), depth 2.9 and 2.6 mm: 76 Class I casts, and Mina et al.
  2017; how far both arches vary together is our choice;
- arch form, by the canine's depth 0.8 mm: our choice (a direction of 1.5 degrees either way there);
- crown widths and breadths 5%, crown lengths 8%: order of size from memory, the split between
  tooth and dentition our choice;
- rotation 4 degrees, tip 4, out of line 0.35 mm: our choice; torque 5 degrees, after Ashfaq et al.
  2023 (4.5 and 6.7 at first molars);
- facet widths 25%, heights of contact 0.4 mm: no published figure, our choice;
- crest 1.2 mm below the junction, SD 0.5 in all: wider than the 0.38 of the 95% limits 0.4 to 1.9
  where nothing is lost (Hausmann et al. 1991), since adults have lost some;
- curve of Spee SD 0.85 mm: Veli et al. 2015 (0.73 to 0.94); relation of the jaws 1 mm: our choice.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.mouth import (
    LIMITS,
    ArchForm,
    Contact,
    CurveKind,
    Mouth,
    Tooth,
    textbook_mouth,
)
from bitewright.mouth.tooth_forms import is_upper

Floats = NDArray[np.float64]

UPPER = ArchForm(
    width_mm=54.0,
    depth_mm=36.76,
    curve=CurveKind.POLYNOMIAL,
    canine_width_mm=35.0,
    canine_depth_mm=13.96,
)
LOWER = ArchForm(
    width_mm=49.5,
    depth_mm=33.04,
    curve=CurveKind.POLYNOMIAL,
    canine_width_mm=27.0,
    canine_depth_mm=8.81,
)
"""Within 0.1 mm of the standard mouth's beta arches, and able to be fuller or more tapered."""

FIRST_PLACE = 3
"""Single teeth vary from the canine backwards; front teeth follow their dentition."""

LEAST_CREST_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Direction:
    """One independent way in which mouths differ.

    ``what`` is a field's name, or an arch's, "size" for widths and breadths together; ``upper`` is
    None where both arches move together; ``place`` counts from the midline and is None for a whole
    arch; ``per_sd`` is the change for one standard deviation, relative where ``is_share``.
    """

    what: str
    per_sd: float
    upper: bool | None = None
    place: int | None = None
    is_share: bool = False

    @property
    def name(self) -> str:
        """Such as "rotation_deg upper 5"."""
        jaw = {True: "upper", False: "lower", None: "both"}[self.upper]
        return f"{self.what} {jaw} {self.place or 'all'}"


@lru_cache(maxsize=4)
def directions(last_place: int = 7) -> tuple[Direction, ...]:
    """Every direction of the population, for mouths whose last tooth stands at a place.

    Sources of each spread stand beside it in this module's tables; what has none is our choice.
    """
    whole = [
        Direction(what="width_mm", per_sd=2.3),
        Direction(what="depth_mm", per_sd=2.2),
        Direction(what="canine_depth_mm", per_sd=0.55),
        Direction(what="md_crown_mm", per_sd=0.035, is_share=True),
        Direction(what="bl_crown_mm", per_sd=0.035, is_share=True),
        Direction(what="crown_length_mm", per_sd=0.055, is_share=True),
        Direction(what="facet_width_mm", per_sd=0.18, is_share=True),
        Direction(what="crest_mm", per_sd=0.3),
        Direction(what="spee_mm", per_sd=0.85),
        Direction(what="molar_shift_mm", per_sd=1.0),
    ]
    for upper in (True, False):
        whole += [
            Direction(what="width_mm", per_sd=1.4, upper=upper),
            Direction(what="depth_mm", per_sd=1.6, upper=upper),
            Direction(what="canine_depth_mm", per_sd=0.6, upper=upper),
            Direction(what="torque_deg", per_sd=3.0, upper=upper),
            Direction(what="tip_deg", per_sd=2.0, upper=upper),
            Direction(what="crown_length_mm", per_sd=0.03, upper=upper, is_share=True),
            Direction(what="crest_mm", per_sd=0.2, upper=upper),
        ]
        for place in range(FIRST_PLACE, last_place + 1):
            whole += [
                replace(each, upper=upper, place=place)
                for each in SINGLE_TOOTH
                if each.what not in OF_CONTACTS or place > FIRST_PLACE
            ]
    return tuple(whole)


SINGLE_TOOTH = (
    Direction(what="md_crown_mm", per_sd=0.035, is_share=True),
    Direction(what="bl_crown_mm", per_sd=0.035, is_share=True),
    Direction(what="crown_length_mm", per_sd=0.05, is_share=True),
    Direction(what="rotation_deg", per_sd=4.0),
    Direction(what="tip_deg", per_sd=3.5),
    Direction(what="torque_deg", per_sd=4.0),
    Direction(what="out_of_line_mm", per_sd=0.35),
    Direction(what="crest_mesial_mm", per_sd=0.35),
    Direction(what="crest_distal_mm", per_sd=0.35),
    Direction(what="facet_width_mm", per_sd=0.18, is_share=True),
    Direction(what="rise_mm", per_sd=0.4),
)
OF_CONTACTS = ("facet_width_mm", "rise_mm")
"""Belong to the contact between the tooth at the place and the one before it."""

FOLLOWS = {"md_crown_mm": "md_cervix_mm", "bl_crown_mm": "bl_cervix_mm"}
OF_ARCHES = ("width_mm", "depth_mm", "canine_depth_mm")


def mean_mouth(present: Iterable[int] | None = None) -> Mouth:
    """The population's middle: the standard teeth on its own arches.

    Parameters
    ----------
    present : iterable of ISO 3950 codes, optional
        Teeth that are there; of the others the space is kept. All but third molars if left out.
    """
    listed = None if present is None else set(present)
    base = textbook_mouth(third_molars=listed is not None and any(c % 10 == 8 for c in listed))
    teeth = {
        code: tooth if listed is None else replace(tooth, present=code in listed)
        for code, tooth in base.teeth.items()
        if code % 10 < 8 or (listed is not None and code in listed)
    }
    return replace(base, name="mean mouth", teeth=teeth, contacts={}, upper=UPPER, lower=LOWER)


def moved(base: Mouth, amounts: Floats, along: tuple[Direction, ...]) -> Mouth:
    """A mouth moved along N directions by amounts (N,) in standard deviations, its sides alike."""
    change = _Change.of(amounts, along)
    return replace(
        base,
        teeth={code: change.tooth(code, tooth) for code, tooth in base.teeth.items()},
        contacts={pair: change.contact(pair, each) for pair, each in base.contacts.items()},
        upper=change.arch(base.upper, upper=True),
        lower=change.arch(base.lower, upper=False),
        spee_mm=_within("spee_mm", base.spee_mm + change.of_mouth("spee_mm")),
        molar_shift_mm=_within(
            "molar_shift_mm", base.molar_shift_mm + change.of_mouth("molar_shift_mm")
        ),
    )


@dataclass(frozen=True, slots=True)
class _Change:
    """Summed changes by (what, arch, place); None stands for all."""

    total: dict[tuple[str, bool | None, int | None], float]

    @classmethod
    def of(cls, amounts: Floats, along: tuple[Direction, ...]) -> "_Change":
        total: dict[tuple[str, bool | None, int | None], float] = {}
        for amount, each in zip(amounts.tolist(), along, strict=True):
            key = (each.what, each.upper, each.place)
            total[key] = total.get(key, 0.0) + amount * each.per_sd
        return cls(total)

    def at(self, what: str, code: int) -> float:
        upper = is_upper(code)
        keys = ((what, None, None), (what, upper, None), (what, upper, code % 10))
        return sum(self.total.get(key, 0.0) for key in keys)

    def of_mouth(self, what: str) -> float:
        return self.total.get((what, None, None), 0.0)

    def tooth(self, code: int, tooth: Tooth) -> Tooth:
        values = {
            name: getattr(tooth, name) + self.at(name, code)
            for name in ("rotation_deg", "tip_deg", "torque_deg", "out_of_line_mm")
        }
        for name in ("md_crown_mm", "bl_crown_mm", "crown_length_mm"):
            ratio = float(np.exp(self.at(name, code)))
            values[name] = getattr(tooth, name) * ratio
            if name in FOLLOWS:
                values[FOLLOWS[name]] = getattr(tooth, FOLLOWS[name]) * ratio
        for name in ("crest_mesial_mm", "crest_distal_mm"):
            crest = getattr(tooth, name) + self.at(name, code) + self.at("crest_mm", code)
            values[name] = max(crest, LEAST_CREST_MM)
        return _changed(tooth, values)

    def contact(self, pair: tuple[int, int], contact: Contact) -> Contact:
        code = max(pair, key=lambda each: each % 10)
        ratio = float(np.exp(self.at("facet_width_mm", code)))
        values = {
            "facet_width_mm": contact.facet_width_mm * ratio,
            "rise_mm": contact.rise_mm + self.at("rise_mm", code),
        }
        return _changed(contact, values)

    def arch(self, form: ArchForm, *, upper: bool) -> ArchForm:
        values = {
            name: getattr(form, name)
            + self.total.get((name, None, None), 0.0)
            + self.total.get((name, upper, None), 0.0)
            for name in OF_ARCHES
        }
        # A wider or deeper arch keeps its form: the canine's point is carried along.
        wider, deeper = (values[name] / getattr(form, name) for name in ("width_mm", "depth_mm"))
        own = values["canine_depth_mm"] - form.canine_depth_mm
        values["canine_width_mm"] = form.canine_width_mm * wider
        values["canine_depth_mm"] = form.canine_depth_mm * deeper + own
        return _changed(form, values)


Part = TypeVar("Part", Tooth, Contact, ArchForm)


def _changed(part: Part, values: dict[str, float]) -> Part:
    """A part of a mouth with other values, held within what its description may say."""
    changes: dict[str, Any] = {name: _within(name, value) for name, value in values.items()}
    return replace(part, **changes)


def _within(name: str, value: float) -> float:
    low, high, _ = LIMITS[name]
    return float(min(max(value, low), high))


__all__ = ["Direction", "directions", "mean_mouth", "moved"]
