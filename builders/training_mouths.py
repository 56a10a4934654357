"""Mouths to learn from: drawn wider than people differ, with gaps, lost teeth, fillings and caries.

Every share here is our choice: wide, so that a real mouth is one more variation. Mouths held out
are drawn by shares of their own, which stay as they are, so that figures of one network can be set
beside those of another.
"""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.lost_teeth import without_tooth
from bitewright.mouth.mouth import Contact, Mouth, Tooth
from bitewright.mouth.numbering import Side
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.mouth.tooth_parts import CARIES_DEPTHS, ToothPart

STREAM = 210021
"""Keeps these draws apart from others of the same seed."""

HELD_OUT_EVERY = 8
"""Every so manyth mouth is never learnt from."""

OF_A_SIDE = 6
"""So many seeds in a row are filmed on one side."""

KINDS = ("drawn", "calm", "population")
LEARNT_KINDS = (0.25, 0.25, 0.5)
"""Shares of the kinds among mouths learnt from: most of the kind that is hardest to read."""

SPREADS = (0.8, 1.7)
"""Of mouths drawn about the standard one, times as different as people."""

THIRD_MOLARS = 0.6
GAPPED_MOUTHS, GAPPED_CONTACTS = 0.6, 0.35
GAPS_MM = (0.0, 0.6)
"""In so many mouths so many contacts stand apart by so much, that openings are seen often."""

LOST, LEARNT_LOST = 0.3, 0.45
"""So many mouths have lost one or two teeth: those held out, and those learnt from."""

LOST_PLACES = (3, 4, 5, 6, 7)
FILLED = (0.0, 0.3, 0.6, 0.8)
FILLINGS = ("occlusal", "mesial-occlusal", "distal-occlusal", "all")
PROXIMAL = ("mesial", "distal")
BONE_LOSS = 0.25
BONE_LOSS_MM = (0.5, 4.0)
"""In so many mouths the crest lies lower, at each tooth by up to so much of the mouth's share."""


def training_mouth(seed: int) -> Mouth:
    """The mouth of a seed, one of three kinds."""
    own = np.random.default_rng([STREAM, seed])
    kind, wisdom = kind_of(seed), bool(own.random() < THIRD_MOLARS)
    if kind == "drawn":
        mouth = drawn_mouth(seed, spread=float(own.uniform(*SPREADS)), third_molars=wisdom)
    else:
        regularity = Regularity.CALM if kind == "calm" else Regularity.POPULATION
        mouth = population_mouth(seed, regularity=regularity, third_molars=wisdom)
    mouth = replace(mouth, name=f"training mouth {seed}")
    mouth = replace(mouth, contacts=_gapped(mouth.contacts, own))
    if own.random() < (LOST if is_held_out(seed) else LEARNT_LOST):
        mouth = _with_losses(mouth, own)
    return replace(mouth, teeth=_carrying(_with_bone_loss(mouth.teeth, own), own))


def is_held_out(seed: int) -> bool:
    """Whether a seed's mouth is never learnt from."""
    return seed % HELD_OUT_EVERY == 0


def kind_of(seed: int) -> str:
    """What kind of mouth a seed draws: by turns where it is held out, else by shares."""
    if is_held_out(seed):
        return KINDS[seed % len(KINDS)]
    return str(np.random.default_rng([STREAM, seed, 1]).choice(KINDS, p=LEARNT_KINDS))


def side_of(seed: int) -> Side:
    """The side that a seed's films are of."""
    return (Side.RIGHT, Side.LEFT)[seed // OF_A_SIDE % 2]


def _gapped(
    contacts: Mapping[tuple[int, int], Contact], own: np.random.Generator
) -> dict[tuple[int, int], Contact]:
    share = GAPPED_CONTACTS if own.random() < GAPPED_MOUTHS else 0.0
    return {
        pair: replace(each, gap_mm=float(own.uniform(*GAPS_MM))) if own.random() < share else each
        for pair, each in contacts.items()
    }


def _with_losses(mouth: Mouth, own: np.random.Generator) -> Mouth:
    for _ in range(int(own.integers(1, 3))):
        code = 10 * int(own.integers(1, 5)) + int(own.choice(LOST_PLACES))
        if code in mouth.teeth and mouth.teeth[code].present:
            mouth = without_tooth(mouth, code, own)
    return mouth


def _with_bone_loss(teeth: Mapping[int, Tooth], own: np.random.Generator) -> dict[int, Tooth]:
    most = float(own.uniform(*BONE_LOSS_MM)) if own.random() < BONE_LOSS else 0.0
    return {
        code: replace(
            tooth,
            crest_mesial_mm=tooth.crest_mesial_mm + most * float(own.random()),
            crest_distal_mm=tooth.crest_distal_mm + most * float(own.random()),
        )
        for code, tooth in teeth.items()
    }


def _carrying(teeth: Mapping[int, Tooth], own: np.random.Generator) -> dict[int, Tooth]:
    share, amalgam = float(own.choice(FILLED)), float(own.uniform(0.1, 0.9))
    return {
        code: replace(tooth, parts=_parts(own, share, amalgam))
        if tooth.present and code % 10 > 3
        else tooth
        for code, tooth in teeth.items()
    }


def _parts(own: np.random.Generator, share: float, amalgam: float) -> tuple[ToothPart, ...]:
    if own.random() < 0.1 * share:
        return (ToothPart(kind="crown"),)
    found, free = [], list(PROXIMAL)
    if own.random() < share:
        surface = str(own.choice(FILLINGS))
        found.append(_filling(surface, own, amalgam))
        free = [each for each in free if surface != "all" and each not in surface]
        if free and own.random() < 0.3:
            found.append(_filling(free.pop(), own, amalgam))
    if free and own.random() < 0.15:
        found.append(
            ToothPart(
                kind="caries",
                surface=str(own.choice(free)),
                depth=str(own.choice(CARIES_DEPTHS[:4])),
            )
        )
    if own.random() < 0.06:
        found.append(ToothPart(kind="root-filling"))
    return tuple(found)


def _filling(surface: str, own: np.random.Generator, amalgam: float) -> ToothPart:
    return ToothPart(
        kind="filling",
        surface=surface,
        material="amalgam" if own.random() < amalgam else "composite",
        size=float(own.uniform(0.5, 1.5)),
    )


__all__ = ["is_held_out", "kind_of", "side_of", "training_mouth"]
