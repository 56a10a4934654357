"""What is known of a mouth before any film of it: how much mouths differ, and in which ways.

A mouth of the population is the mean mouth moved along independent directions, each by a standard
normal amount. Sizes and stances vary partly together over a whole arch and partly tooth by tooth.
Both sides of a mouth are alike here: a film shows one, and directions of single teeth are its.

Mean and spreads are those that mouths are drawn with (`mouth.population_mouth`, where their sources
stand): crowns' forms, turns, tips, torques, offsets, sizes and arches as measured on some 130
people's scans. What a drawn mouth has heavy tails in is normal here, with the same deviation.
Besides:

- facet widths 18% over a mouth and 20% each, heights of contact 0.3 mm: no published figure, our
  choice;
- crest 1.2 mm below the junction, SD 0.5 in all: wider than the 0.38 of the 95% limits 0.4 to 1.9
  where nothing is lost (Hausmann et al. 1991), since adults have lost some.
"""

from collections.abc import Container, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.mouth import LIMITS, ArchForm, Contact, Mouth, Tooth
from bitewright.mouth.population_mouth import (
    ARCH_MM,
    ARCH_WITH_TEETH,
    LENGTHS,
    OWN_LEAN_SHARE,
    OWN_SHARE,
    SHIFT_MM,
    SPEE_MM,
)
from bitewright.mouth.population_table import crown_kind, kind_place
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_forms import is_upper

Floats = NDArray[np.float64]

FIRST_PLACE = 3
"""Single teeth vary from the canine backwards; front teeth follow their dentition."""

LEAST_CREST_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Direction:
    """One independent way in which mouths differ.

    ``what`` is a field's name, or an arch's, "size" for all of a tooth, "form_0" and on for ways in
    which crowns of its kind differ; ``upper`` is None where both arches move together; ``place``
    counts from the midline and is None for a whole arch; ``per_sd`` is the change for one standard
    deviation [mm, deg]: of sizes, lengths and facet widths of their logarithm, in deviations of the
    tooth's kind where it has some.
    """

    what: str
    per_sd: float
    upper: bool | None = None
    place: int | None = None

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
        *(Direction(what=name, per_sd=both) for name, (both, _) in ARCH_MM.items()),
        Direction(what="size", per_sd=1.0),
        Direction(what="crown_length_mm", per_sd=LENGTHS[0]),
        Direction(what="facet_width_mm", per_sd=0.18),
        Direction(what="crest_mm", per_sd=0.3),
        Direction(what="spee_mm", per_sd=SPEE_MM),
        Direction(what="molar_shift_mm", per_sd=SHIFT_MM),
    ]
    for upper in (True, False):
        whole += [
            *(Direction(what=name, per_sd=one, upper=upper) for name, (_, one) in ARCH_MM.items()),
            Direction(what="tip_deg", per_sd=float(np.sqrt(1.0 - OWN_LEAN_SHARE)), upper=upper),
            Direction(what="torque_deg", per_sd=float(np.sqrt(1.0 - OWN_LEAN_SHARE)), upper=upper),
            Direction(what="crown_length_mm", per_sd=LENGTHS[1], upper=upper),
            Direction(what="crest_mm", per_sd=0.2, upper=upper),
        ]
        for place in range(FIRST_PLACE, last_place + 1):
            whole += [
                replace(each, upper=upper, place=place)
                for each in SINGLE_TOOTH
                if each.what not in OF_CONTACTS or place > FIRST_PLACE
            ]
    return tuple(whole)


FORMS = tuple(f"form_{number}" for number in range(5))
"""How one kind's crowns differ, from most to least; the two least of seven are left to the marks'
allowance."""

SINGLE_TOOTH = (
    *(Direction(what=form, per_sd=1.0) for form in FORMS),
    Direction(what="size", per_sd=1.0),
    Direction(what="crown_length_mm", per_sd=LENGTHS[2]),
    Direction(what="rotation_deg", per_sd=1.0),
    Direction(what="tip_deg", per_sd=float(np.sqrt(OWN_LEAN_SHARE))),
    Direction(what="torque_deg", per_sd=float(np.sqrt(OWN_LEAN_SHARE))),
    Direction(what="out_of_line_mm", per_sd=float(np.sqrt(OWN_SHARE))),
    Direction(what="crest_mesial_mm", per_sd=0.35),
    Direction(what="crest_distal_mm", per_sd=0.35),
    Direction(what="facet_width_mm", per_sd=0.2),
    Direction(what="rise_mm", per_sd=0.3),
)
OF_CONTACTS = ("facet_width_mm", "rise_mm")
"""Belong to the contact between the tooth at the place and the one before it."""

OF_KIND = {
    "rotation_deg": "turn_sd_deg",
    "tip_deg": "tip_sd_deg",
    "torque_deg": "torque_sd_deg",
    "out_of_line_mm": "offset_sd_mm",
}
"""Stances told in deviations of a tooth's own kind."""

FOLLOWS = {"md_crown_mm": "md_cervix_mm", "bl_crown_mm": "bl_cervix_mm"}
FORM_FIELDS = (
    "mesial_flank_deg",
    "distal_flank_deg",
    "squareness",
    "buccal_cusps_mm",
    "lingual_cusps_mm",
)
OF_ARCHES = ("width_mm", "depth_mm", "canine_depth_mm")
OF_TEETH = frozenset(
    {each.what for each in SINGLE_TOOTH if each.what not in OF_CONTACTS} | {"crest_mm"}
)


def mean_mouth(present: Iterable[int] | None = None, closed: Container[int] = ()) -> Mouth:
    """The population's middle: mean crowns on the mean arches.

    Parameters
    ----------
    present : iterable of ISO 3950 codes, optional
        Teeth that are there; of the others the space is kept. All but third molars if left out.
    closed : container of ISO 3950 codes
        Missing teeth whose space has closed: the rows stand together there.
    """
    listed = None if present is None else set(present)
    base = standard_mouth(third_molars=listed is not None and any(c % 10 == 8 for c in listed))
    teeth = {
        code: tooth if listed is None else replace(tooth, present=code in listed)
        for code, tooth in base.teeth.items()
        if (code % 10 < 8 and code not in closed) or (listed is not None and code in listed)
    }
    return replace(base, name="mean mouth", teeth=teeth, contacts={})


def closed_teeth(mouth: Mouth) -> tuple[int, ...]:
    """Teeth, but third molars, that a mouth leaves out with their spaces: `mean_mouth`'s closed."""
    return tuple(code for code in mean_mouth().teeth if code not in mouth.teeth)


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
        """Of amounts (N,) in standard deviations along N directions."""
        total: dict[tuple[str, bool | None, int | None], float] = {}
        for amount, each in zip(amounts.tolist(), along, strict=True):
            if amount == 0.0:
                continue
            key = (each.what, each.upper, each.place)
            total[key] = total.get(key, 0.0) + amount * each.per_sd
        return cls(total)

    def at(self, what: str, code: int) -> float:
        """Of a tooth's field: the mouth's, its jaw's and its own part together."""
        upper = is_upper(code)
        keys = ((what, None, None), (what, upper, None), (what, upper, code % 10))
        return sum(self.total.get(key, 0.0) for key in keys)

    def of_mouth(self, what: str) -> float:
        """Of what a mouth has once."""
        return self.total.get((what, None, None), 0.0)

    def _is_of(self, code: int, names: Container[str]) -> bool:
        """Whether a tooth, or its contact with the one before it, changes in any of some fields."""
        upper, place = is_upper(code), code % 10
        return any(
            what in names and arch in {None, upper} and at in {None, place}
            for what, arch, at in self.total
        )

    def tooth(self, code: int, tooth: Tooth) -> Tooth:
        """A tooth changed."""
        least_mm = min(tooth.crest_mesial_mm, tooth.crest_distal_mm)
        if least_mm >= LEAST_CREST_MM and not self._is_of(code, OF_TEETH):
            return tooth
        place = kind_place(code)
        values = {
            name: getattr(tooth, name) + getattr(place, of_kind) * self.at(name, code)
            for name, of_kind in OF_KIND.items()
        }
        form = self._form(code)
        size = self._size(code)
        shares = {"md_crown_mm": form[0] + size, "bl_crown_mm": form[1] + size}
        for name, share in shares.items():
            ratio = float(np.exp(share))
            values[name] = getattr(tooth, name) * ratio
            values[FOLLOWS[name]] = getattr(tooth, FOLLOWS[name]) * ratio
        longer = float(np.exp(size + self.at("crown_length_mm", code)))
        values["crown_length_mm"] = tooth.crown_length_mm * longer
        for name, change in zip(FORM_FIELDS, form[2:].tolist(), strict=True):
            values[name] = getattr(tooth, name) + change
        for name in ("crest_mesial_mm", "crest_distal_mm"):
            crest = getattr(tooth, name) + self.at(name, code) + self.at("crest_mm", code)
            values[name] = max(crest, LEAST_CREST_MM)
        return _changed(tooth, values)

    def _form(self, code: int) -> Floats:
        """A crown's change of form (7,), as `CrownKind.directions`."""
        amounts = np.array([self.at(form, code) for form in FORMS])
        return np.asarray(amounts @ crown_kind(code).directions[: len(FORMS)])

    def _size(self, code: int) -> float:
        """The logarithm of how many times as large a tooth is."""
        place = kind_place(code)
        together = place.size_together * self.total.get(("size", None, None), 0.0)
        own = float(np.hypot(place.size_both_sides, place.size_alone))
        return together + own * self.total.get(("size", is_upper(code), code % 10), 0.0)

    def contact(self, pair: tuple[int, int], contact: Contact) -> Contact:
        """A contact changed: it is that of the tooth further back."""
        code = max(pair, key=lambda each: each % 10)
        if not self._is_of(code, OF_CONTACTS):
            return contact
        ratio = float(np.exp(self.at("facet_width_mm", code)))
        values = {
            "facet_width_mm": contact.facet_width_mm * ratio,
            "rise_mm": contact.rise_mm + self.at("rise_mm", code),
        }
        return _changed(contact, values)

    def arch(self, form: ArchForm, *, upper: bool) -> ArchForm:
        """An arch changed; larger teeth go with a larger one."""
        larger = float(np.exp(ARCH_WITH_TEETH * self.total.get(("size", None, None), 0.0)))
        values = {
            name: getattr(form, name) * larger
            + self.total.get((name, None, None), 0.0)
            + self.total.get((name, upper, None), 0.0)
            for name in OF_ARCHES
        }
        # A wider or deeper arch keeps its form: the canine's point is carried along.
        wider, deeper = (values[name] / getattr(form, name) for name in ("width_mm", "depth_mm"))
        own = values["canine_depth_mm"] - form.canine_depth_mm * larger
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


__all__ = ["FORMS", "Direction", "closed_teeth", "directions", "mean_mouth", "moved"]
