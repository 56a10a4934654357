"""What in a film says so: the overlaps, cusps, teeth and bite that a wrong exposure left."""

from bitewright.explanation.film_pattern import FilmPattern
from bitewright.words.phrases import listed

NOTICED_MM = 0.3
"""Shifts below this are not pointed out. Our choice."""

BEST = "the best exposure"

MOST_CONTACTS = 3
"""So many contacts are pointed out at once. Our choice."""


def swing_signs(pattern: FilmPattern, *, tube_forward: bool) -> str:
    """What a tube too far to the front (or back) left in the film, or nothing."""
    signs = []
    if pattern.grown:
        shown = [
            f"{each.name} ({_overlap(each.overlap_mm)} mm where the best exposure leaves "
            f"{_overlap(each.best_overlap_mm)})"
            for each in pattern.grown[:MOST_CONTACTS]
        ]
        signs.append(f"the overlap at {listed(shown)}")
    # A tube further forward throws what lies nearer to it, the buccal cusps, further back.
    shift = -pattern.buccal_forward_mm if tube_forward else pattern.buccal_forward_mm
    if shift > NOTICED_MM:
        way = "back" if tube_forward else "front"
        signs.append(
            f"the buccal cusps, {shift:.1f} mm further to the {way} in the image against the "
            "lingual ones"
        )
    return listed(signs)


def vertical_signs(pattern: FilmPattern, *, tube_up: bool) -> str:
    """What a tube too high (or too low) left in the film, or nothing."""
    shift = pattern.buccal_down_mm if tube_up else -pattern.buccal_down_mm
    if shift <= NOTICED_MM:
        return ""
    way = "lower" if tube_up else "higher"
    return f"the buccal cusps, {shift:.1f} mm {way} in the image against the lingual ones"


def forward_signs(pattern: FilmPattern, *, receptor_forward: bool) -> str:
    """What a receptor too far to the front (or back) left in the film, or nothing."""
    shift = -pattern.teeth_forward_mm if receptor_forward else pattern.teeth_forward_mm
    way = "back" if receptor_forward else "front"
    if shift <= NOTICED_MM:
        return ""
    return f"the teeth, {shift:.1f} mm further to the {way} in the image than {BEST} has them"


def height_signs(pattern: FilmPattern, *, receptor_up: bool) -> str:
    """What a receptor too high (or too low) left in the film, or nothing."""
    shift = pattern.bite_down_mm if receptor_up else -pattern.bite_down_mm
    if shift <= NOTICED_MM:
        return ""
    way = "lower" if receptor_up else "higher"
    return f"the line of the bite, {shift:.1f} mm {way} in the image than {BEST} has it"


def closure_signs(pattern: FilmPattern) -> str:
    """How far teeth that stayed apart measure off the bite block, or nothing."""
    if pattern.teeth_apart_mm - pattern.best_teeth_apart_mm <= NOTICED_MM:
        return ""
    return (
        f"the rows of cusps, {pattern.teeth_apart_mm:.1f} mm further apart than the bite block is "
        f"thick where the best exposure leaves {max(pattern.best_teeth_apart_mm, 0.0):.1f}"
    )


def _overlap(value_mm: float) -> str:
    return f"{max(value_mm, 0.0):.2f}"


__all__ = ["closure_signs", "forward_signs", "height_signs", "swing_signs", "vertical_signs"]
