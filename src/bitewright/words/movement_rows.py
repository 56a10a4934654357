"""Movements as rows of a table: about how much, 90% between, and whether each is needed."""

from collections.abc import Collection
from dataclasses import dataclass, replace

from bitewright.explanation.correction import Correction, Estimated, HeldApart, Movement, Need, Part
from bitewright.explanation.needs import WORTH, is_too_sure
from bitewright.words.movements import (
    SAID,
    TUBE_TOO,
    WITH_ITS_RING,
    Ways,
    figure,
    rim_slide,
    size,
    with_unit,
)
from bitewright.words.teeth_apart import held_need_words

NEED_WORDS = {
    Need.MOVE: "yes",
    Need.PERHAPS: "perhaps",
    Need.STAY: "no",
    Need.UNSURE: "cannot tell",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementRow:
    """A movement for a table: its name, about how much, 90% between, and whether it is needed."""

    name: str
    about: str
    between: str
    need: str


def movement_row(
    movement: Movement,
    *,
    rim_radius_mm: float,
    how_far: bool = True,
    receptor_turned: Collection[Part] = (),
    held_by: HeldApart | None = None,
    teeth_touched: bool = False,
) -> MovementRow:
    """A movement for a table, small and unsure ones too; its direction alone if not how far.

    Parameters as in `hand_words`; ``teeth_touched`` as in `Correction`.
    """
    ways, needed = SAID[movement.part], movement.needed
    instead = movement.part in receptor_turned
    if instead:
        ways = SAID[WITH_ITS_RING[movement.part]]
        ways = replace(ways, name=f"{ways.name}{TUBE_TOO}")
    need = _need_words(movement, held_by, teeth_touched=teeth_touched)
    if not how_far:
        way = ways.short_plus if needed.value > 0 else ways.short_minus
        told = {Need.MOVE: way, Need.PERHAPS: way, Need.STAY: "none"}.get(movement.need, NOT_TOLD)
        return MovementRow(name=ways.name, about=told, between=NOT_TOLD, need=need)
    if movement.need is Need.UNSURE and (_is_boundless(movement) or is_too_sure(movement)):
        return MovementRow(name=ways.name, about=NOT_TOLD, between=NOT_TOLD, need=need)
    about = _one_way(needed.value, movement.unit, ways)
    if movement.part in WITH_ITS_RING and size(needed.value, "deg") > 0 and not instead:
        slide = abs(rim_slide(movement, rim_radius_mm=rim_radius_mm).value)
        about += f"; {with_unit(slide, 'mm')} at the rim"
    return MovementRow(
        name=ways.name,
        about=about,
        between=_between(needed, movement.unit, ways),
        need=need,
    )


def movement_rows(
    correction: Correction, *, receptor_turned: Collection[Part] = ()
) -> tuple[tuple[Movement, MovementRow], ...]:
    """Every movement with its row of the table, in their order.

    Of a receptor that was turned with its ring, its own turn is that movement, and no row beside.
    """
    return tuple(
        (
            each,
            movement_row(
                each,
                rim_radius_mm=correction.rim_radius_mm,
                how_far=not correction.is_unlike,
                receptor_turned=receptor_turned,
                held_by=correction.held_by,
                teeth_touched=correction.teeth_touched,
            ),
        )
        for each in correction.movements
        if each.part not in {WITH_ITS_RING[part] for part in receptor_turned}
    )


MOVEMENT_HEADINGS = ("movement", "about", "90% between", "for the best exposure?")


def _need_words(movement: Movement, held_by: HeldApart | None, *, teeth_touched: bool) -> str:
    """Whether it is needed; of one that is large enough to matter and is not, why."""
    said = NEED_WORDS[movement.need]
    if movement.need not in WHY_NOT or abs(movement.needed.value) < WORTH[movement.part]:
        return said
    if movement.part is Part.ROLL and movement.need is Need.STAY:
        return f"{said}, the bite is level"
    if movement.part is Part.CLOSURE and movement.needed.value < 0.0:
        return said
    if movement.part is Part.CLOSURE and teeth_touched and movement.need is Need.STAY:
        return f"{said}, they were seen to touch it"
    return held_need_words(said, movement, held_by)


WHY_NOT = (Need.STAY, Need.PERHAPS)
NOT_TOLD = "cannot be told"
WIDEST_DEG = 60.0
"""An interval wider than this has angles that no mouth has room for: none is told. Our choice."""


def _is_boundless(movement: Movement) -> bool:
    return movement.unit == "deg" and movement.needed.high - movement.needed.low > WIDEST_DEG


def _between(needed: Estimated, unit: str, ways: Ways) -> str:
    low, high = needed.low, needed.high
    near, far = sorted((abs(low), abs(high)))
    if size(far, unit) == 0.0:
        return f"less than {'half a degree' if unit == 'deg' else 'a quarter of a mm'} either way"
    if low * high < 0 and size(low, unit) == size(high, unit):
        return f"{with_unit(far, unit)} either way"
    if low * high < 0 and size(near, unit) > 0.0:
        return f"{_one_way(low, unit, ways)} and {_one_way(high, unit, ways)}"
    return f"{figure(0.0 if low * high < 0 else near, unit)} and {with_unit(far, unit)}"


def _one_way(value: float, unit: str, ways: Ways) -> str:
    if size(value, unit) == 0:
        return "none"
    way = ways.short_plus if value > 0 else ways.short_minus
    return f"{with_unit(abs(value), unit)} {way}"


__all__ = ["MOVEMENT_HEADINGS", "NEED_WORDS", "MovementRow", "movement_row", "movement_rows"]
