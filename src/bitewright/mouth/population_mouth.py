"""A mouth drawn by a seed from a population of real crowns: no person, but such as people have.

Crowns and the spreads of places are measured (`population_table`). What neighbours share is taken
apart from what is a tooth's own: each arch varies in width, depth, form and lies askew as a whole;
a tooth turns, tips and stands out of line on its own, with heavy tails. Teeth then settle against
each other: most neighbours touch, some stand apart.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.arches import place_arches
from bitewright.mouth.drawn_mouth import drawn_age, drawn_wear_mm, with_level_septa
from bitewright.mouth.lost_teeth import with_lost_teeth
from bitewright.mouth.mouth import LIMITS, ArchForm, Contact, Mouth, Tooth, textbook_mouth
from bitewright.mouth.population_table import crown_kind, kind_place, mean_arch
from bitewright.mouth.settled_teeth import with_settled_teeth
from bitewright.mouth.standard_mouth import crown_fields, standard_mouth
from bitewright.mouth.tooth_forms import is_right, is_upper

Floats = NDArray[np.float64]

OWN_SHARE = 0.35
"""Of the variance of a tooth's offset, what is its own and not its arch's. Published widths of
arches (SD 2.8 mm across at the molars, so 1.4 a side, of 1.65 in all) leave about as much. Our
choice for all teeth."""

OWN_LEAN_SHARE = 0.5
"""Of the variance of tip and torque; the rest a whole arch has together. Our choice."""

TAIL = 5.0
"""Degrees of freedom of a tooth's own turn, tip and offset (Student's t). The source gives
variances alone; heavy tails are our choice, since single teeth stand far out in real mouths."""

MOST_LEAN_DEG, MOST_LEAN_SD = 30.0, 3.6
"""No tooth leans further from its kind's mean, in tip or in torque; one that would is drawn anew.
The source tells deviations, not the furthest: of normal values for the 3,640 teeth of its 130
people the furthest would lie 3.6 deviations out. At that incisors, 11.8 degrees in torque, would
lie flat: 30 degrees are our choice."""

STANCE_DRAWS = 40

FURTHEST_OUT_MM = 1.6
"""Neighbours stand no further out of line with one another: beyond it their flanks would no longer
meet. Our choice."""

FRONT_SHARE = 0.5
"""Of their own spread that incisors keep: no bitewing shows them, and crowded as the source's they
would not meet their neighbours at their flanks."""

MOST_TURN_DEG, MOST_TURN_SD = 40.0, 4.5
"""No tooth turns further; one that would is drawn anew, as leans are. Premolars thus turn by up to
40 degrees, molars by up to 24 to 32. Our choice."""

ARCH_MM = {"width_mm": (1.7, 1.3), "depth_mm": (2.2, 1.8), "canine_depth_mm": (1.6, 1.4)}
"""Deviations of both arches together and of each alone: with the arch's size they come to the 2.8
and 2.2 to 2.9 mm published for width and depth, and to the source's offsets. Our choice within."""

ARCH_WITH_TEETH = 0.045
"""How much larger an arch is, as a share, for one deviation of its teeth's common size."""

ASKEW_MM = (0.35, 0.35)
"""How far an arch's second molars stand off to one side, both arches together and each. Our
choice: with what else differs it comes to the source's offsets of molars."""

OVERJET_MM = (-2.0, 10.0)
"""Upper incisors stand before the lower ones by no less and no more: arches that do not fit so are
drawn anew, each apart. Of people under 1 in 100 have less than -2, under 1 in 200 more than 10
(Proffit et al. 1998, from memory); 6 mm or more under 10 in 100 (Brunelle et al. 1996)."""

ARCH_DRAWS = 20

SPACED = 0.08
SPACE_MM = (0.05, 0.5)
TOUCHING_MM = (0.0, 0.05)
"""Share of contacts that are truly apart, how far, and how far those are that touch. Our choice:
the source has no gaps."""

LENGTHS = (0.05, 0.03, 0.035)
"""Deviations of crown lengths as shares: of a whole mouth, an arch and a tooth, beside its size.
The source's crowns end artificially at the neck; order of size from memory, split our choice."""

NECK_SHARE, ROOT_SHARE, ENAMEL_SHARE, FACET_SHARE = 0.03, 0.07, 0.08, 0.2
SPEE_MM, SHIFT_MM, RISE_MM = 0.85, 1.0, 0.15
"""Deviations as for mouths drawn otherwise; Spee: Veli et al. 2015."""

STREAM = 4754279
"""Keeps these draws apart from others of the same seed."""


class Regularity(Enum):
    """How regular a drawn mouth's teeth stand: as the source's people, or calmer.

    Of orthodontic patients, whom the source scanned, teeth stand more irregular than people's in
    general: ``CALM`` takes 0.6 of the spread of turns, tips, torques and offsets. Crowns are as
    various. Our choice: no figure was found that leads from one group to another.
    """

    POPULATION = 1.0
    CALM = 0.6


def population_mouth(
    seed: int,
    *,
    regularity: Regularity = Regularity.POPULATION,
    third_molars: bool = False,
    may_lack_teeth: bool = True,
) -> Mouth:
    """Draw a mouth; each tooth has a stream of its own, so that changing one leaves the others.

    Parameters
    ----------
    seed : int
    regularity : Regularity
        How far teeth turn and stand out of line; crowns stay the same.
    third_molars : bool
        Whether there are 32 teeth; those of 28 keep their shapes.
    may_lack_teeth : bool
        Whether older mouths may have lost teeth.
    """
    whole = _Whole.of(seed, regularity)
    mouth = _settled(whole, third_molars=third_molars, may_lack_teeth=may_lack_teeth)
    for again in range(ARCH_DRAWS):
        if OVERJET_MM[0] <= overjet_mm(mouth) <= OVERJET_MM[1]:
            break
        other = whole.with_other_arches(again)
        mouth = _settled(other, third_molars=third_molars, may_lack_teeth=may_lack_teeth)
    return mouth


def overjet_mm(mouth: Mouth) -> float:
    """How far the upper central incisors' edges stand before the lower ones', jaws closed. [mm]

    Negative where the lower ones stand before them.
    """
    return float(place_arches(mouth).lower_front_mouth[1])


def _settled(whole: "_Whole", *, third_molars: bool, may_lack_teeth: bool) -> Mouth:
    """The mouth of what its teeth have together, settled."""
    base = textbook_mouth(third_molars=third_molars)
    seed = whole.seed
    teeth = {code: whole.tooth(code, tooth) for code, tooth in base.teeth.items()}
    own = np.random.default_rng([seed, STREAM, 2])
    mouth = replace(
        base,
        name=f"{whole.regularity.name.lower()} mouth {seed}",
        age_years=whole.age_years,
        teeth=with_level_septa(_in_reach(base, teeth)),
        contacts={pair: whole.contact(pair, each) for pair, each in base.contacts.items()},
        upper=whole.arch(upper=True),
        lower=whole.arch(upper=False),
        spee_mm=_within("spee_mm", base.spee_mm + SPEE_MM * own.standard_normal()),
        molar_shift_mm=SHIFT_MM * float(own.standard_normal()),
    )
    if may_lack_teeth:
        mouth = with_lost_teeth(mouth, np.random.default_rng([seed, STREAM, 3]))
    return with_settled_teeth(mouth, standard_mouth(third_molars=third_molars))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Whole:
    """What teeth of one mouth have together, in standard deviations, and its seed."""

    seed: int
    regularity: Regularity
    age_years: float
    grinding: float
    size: float
    length: dict[bool | None, float]
    arches: dict[bool | None, dict[str, float]]
    lean: dict[bool, tuple[float, float]]
    askew: dict[bool | None, float]

    @classmethod
    def of(cls, seed: int, regularity: Regularity) -> "_Whole":
        whole = np.random.default_rng([seed, STREAM])
        every = (None, True, False)
        size = float(whole.standard_normal())
        length = {which: float(whole.standard_normal()) for which in every}
        arches = {
            which: {name: float(whole.standard_normal()) for name in ARCH_MM} for which in every
        }
        lean = {
            upper: (float(whole.standard_normal()), float(whole.standard_normal()))
            for upper in (True, False)
        }
        askew = {which: float(whole.standard_normal()) for which in every}
        own = np.random.default_rng([seed, STREAM, 0])
        age = drawn_age(own, 1.0)
        return cls(
            seed=seed,
            regularity=regularity,
            age_years=age,
            grinding=float(np.exp(0.4 * own.standard_normal())),
            size=size,
            length=length,
            arches=arches,
            lean=lean,
            askew=askew,
        )

    @property
    def spread(self) -> float:
        """Times as different as the source's people teeth stand."""
        return self.regularity.value

    def with_other_arches(self, again: int) -> "_Whole":
        """The same, what each arch has alone of its width, depth and form drawn another time."""
        own = np.random.default_rng([self.seed, STREAM, 4, again])
        arches = dict(self.arches)
        for upper in (True, False):
            arches[upper] = {name: float(own.standard_normal()) for name in ARCH_MM}
        return replace(self, arches=arches)

    def arch(self, *, upper: bool) -> ArchForm:
        """One arch: as large as its teeth, wider, deeper or of another form besides."""
        mean = mean_arch(upper=upper)
        larger = float(np.exp(ARCH_WITH_TEETH * self.size))
        form = replace(mean, canine_width_mm=mean.canine_width_mm * larger)
        values = {
            name: getattr(mean, name) * larger
            + together * self.arches[None][name]
            + alone * self.arches[upper][name]
            for name, (together, alone) in ARCH_MM.items()
        }
        wider = values["width_mm"] / mean.width_mm
        deeper = values["depth_mm"] / mean.depth_mm
        own_form = values["canine_depth_mm"] - mean.canine_depth_mm * larger
        return replace(
            form,
            width_mm=_within("width_mm", values["width_mm"]),
            depth_mm=_within("depth_mm", values["depth_mm"]),
            canine_width_mm=mean.canine_width_mm * wider,
            canine_depth_mm=_within("canine_depth_mm", mean.canine_depth_mm * deeper + own_form),
        )

    def tooth(self, code: int, usual: Tooth) -> Tooth:
        """One tooth: its crown, how it stands, its crest and wear."""
        own = np.random.default_rng([self.seed, STREAM, code])
        form, place = crown_kind(code).drawn(own), kind_place(code)
        kind = np.random.default_rng([self.seed, STREAM, 1, code % 10, is_upper(code)])
        size = float(
            np.exp(
                place.size_together * self.size
                + place.size_both_sides * kind.standard_normal()
                + place.size_alone * own.standard_normal()
            )
        )
        long = LENGTHS[0] * self.length[None] + LENGTHS[1] * self.length[is_upper(code)]
        long += LENGTHS[2] * own.standard_normal()
        crown = crown_fields(code, usual, form, size)
        changes: dict[str, float] = {
            **crown,
            "md_cervix_mm": crown["md_cervix_mm"] * _about_one(own, NECK_SHARE),
            "bl_cervix_mm": crown["bl_cervix_mm"] * _about_one(own, NECK_SHARE),
            "crown_length_mm": usual.crown_length_mm * size * float(np.exp(long)),
            "root_length_mm": usual.root_length_mm * _about_one(own, ROOT_SHARE),
            "enamel_contact_mm": usual.enamel_contact_mm * _about_one(own, ENAMEL_SHARE),
            **self._stance(code, usual, own),
        }
        worn = np.random.default_rng([self.seed, STREAM, code, 2])
        held: dict[str, Any] = {name: _within(name, value) for name, value in changes.items()}
        return replace(
            usual,
            **held,
            **_crests(own),
            wear_mm=drawn_wear_mm(code, self.age_years, self.grinding, worn),
        )

    def _stance(self, code: int, usual: Tooth, own: np.random.Generator) -> dict[str, float]:
        place, upper = kind_place(code), is_upper(code)
        own_spread = self.spread * (FRONT_SHARE if code % 10 < 3 else 1.0)
        alone = own_spread * float(np.sqrt(OWN_SHARE))
        again = np.random.default_rng([self.seed, STREAM, code, 3])
        leans = {
            name: getattr(usual, name) + self._lean_deg(deviation, shared, own, again)
            for name, deviation, shared in (
                ("tip_deg", place.tip_sd_deg, self.lean[upper][0]),
                ("torque_deg", place.torque_sd_deg, self.lean[upper][1]),
            )
        }
        turn_sd_deg = own_spread * place.turn_sd_deg
        turn = _drawn_within(
            min(MOST_TURN_DEG, MOST_TURN_SD * place.turn_sd_deg),
            lambda stream: turn_sd_deg * _tailed(stream),
            own,
            again,
        )
        return {
            **leans,
            "rotation_deg": turn,
            "out_of_line_mm": place.out_of_line_mm
            + alone * place.offset_sd_mm * _tailed(own)
            + self._askew_mm(code),
        }

    def _lean_deg(
        self,
        deviation_deg: float,
        shared: float,
        own: np.random.Generator,
        again: np.random.Generator,
    ) -> float:
        """How far a tooth leans from its kind's mean: its arch's share and its own. [deg]

        Drawn from ``own``, and from ``again`` as often as it leans too far.
        """
        together = float(np.sqrt(1.0 - OWN_LEAN_SHARE)) * shared
        alone = float(np.sqrt(OWN_LEAN_SHARE))
        spread = self.spread * deviation_deg
        return _drawn_within(
            min(MOST_LEAN_DEG, MOST_LEAN_SD * deviation_deg),
            lambda stream: spread * (together + alone * _tailed(stream)),
            own,
            again,
        )

    def _askew_mm(self, code: int) -> float:
        """How far an arch that lies askew sets a tooth to its cheek side. [mm]"""
        aside = ASKEW_MM[0] * self.askew[None] + ASKEW_MM[1] * self.askew[is_upper(code)]
        return (1.0 if is_right(code) else -1.0) * aside * (min(code % 10, 7) - 1) / 6.0

    def contact(self, pair: tuple[int, int], usual: Contact) -> Contact:
        """How two neighbours meet."""
        own = np.random.default_rng([self.seed, STREAM, 100 + pair[0], pair[1]])
        limits = SPACE_MM if own.random() < SPACED else TOUCHING_MM
        return replace(
            usual,
            gap_mm=float(own.uniform(*limits)),
            facet_width_mm=usual.facet_width_mm * _about_one(own, FACET_SHARE),
            rise_mm=RISE_MM * float(own.standard_normal()),
        )


def _in_reach(base: Mouth, teeth: dict[int, Tooth]) -> dict[int, Tooth]:
    """The same teeth, neighbours far out of line with one another pushed back by half each."""
    settled = dict(teeth)
    for upper in (True, False):
        chain = base.chain(upper=upper)
        for _ in range(4):
            for one, other in pairwise(chain):
                apart = settled[one].out_of_line_mm - settled[other].out_of_line_mm
                usual = kind_place(one).out_of_line_mm - kind_place(other).out_of_line_mm
                over = apart - usual
                over -= float(np.clip(over, -FURTHEST_OUT_MM, FURTHEST_OUT_MM))
                for code, step in ((one, -0.5 * over), (other, 0.5 * over)):
                    moved = settled[code].out_of_line_mm + step
                    settled[code] = replace(settled[code], out_of_line_mm=moved)
    return settled


def _crests(own: np.random.Generator) -> dict[str, Any]:
    """Crest below the junction at both sides, as for mouths drawn otherwise. [mm]"""
    sides = ("crest_mesial_mm", "crest_distal_mm")
    return {side: max(0.6, 1.0 + 0.5 * abs(float(own.standard_normal()))) for side in sides}


def _drawn_within(
    furthest: float,
    drawn: Callable[[np.random.Generator], float],
    own: np.random.Generator,
    again: np.random.Generator,
) -> float:
    """What is drawn from ``own``, or from ``again`` until it lies within a limit to both sides."""
    value = drawn(own)
    for _ in range(STANCE_DRAWS):
        if abs(value) <= furthest:
            break
        value = drawn(again)
    return float(np.clip(value, -furthest, furthest))


def _tailed(own: np.random.Generator) -> float:
    """A Student's t of variance one."""
    return float(own.standard_t(TAIL) / np.sqrt(TAIL / (TAIL - 2.0)))


def _about_one(own: np.random.Generator, deviation: float) -> float:
    return float(np.clip(1.0 + deviation * own.standard_normal(), 0.7, 1.4))


def _within(name: str, value: float) -> float:
    low, high, _ = LIMITS[name]
    return float(min(max(value, low), high))


__all__ = ["Regularity", "overjet_mm", "population_mouth"]
