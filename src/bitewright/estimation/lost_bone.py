"""Films estimated so that bone may have been lost: crests far from where others have them say so.

Bone is lost by millimetres at single sites, as at molars or in a vertical defect (common practice,
no source), where the population's crests differ by half a millimetre.
"""

from collections.abc import Sequence

from bitewright.estimation.allowances import kind_of
from bitewright.estimation.estimate import Estimate, FilmEvidence, estimate
from bitewright.estimation.losses import with_losses
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_shapes import MouthShapes
from bitewright.steps import Begin, unwatched

FAR_SD = 3.5
"""A crest that lies so many deviations from where all other marks have it tells of lost bone: by
chance one in 500 does. Our choice."""


def estimate_with_lost_bone(
    films: Sequence[FilmEvidence],
    shapes: MouthShapes,
    belief: MouthBelief,
    *,
    begin: Begin = unwatched,
) -> Estimate:
    """Estimate as `estimate`, and again believing that bone was lost where a crest lies far off.

    The second is kept where it makes the marks likelier. Parameters as there.
    """
    found = estimate(films, shapes, belief, begin=begin)
    if not has_far_crests(found):
        return found
    again = estimate(films, shapes, with_losses(belief, ()), begin=begin)
    return max(found, again, key=lambda each: each.evidence)


def has_far_crests(found: Estimate) -> bool:
    """Whether a crest of some film lies far from where all other marks have it."""
    return any(
        beside.off_sd > FAR_SD
        for film in found.left_out
        for name, beside in film.marks.items()
        if kind_of(name) == "crest"
    )


__all__ = ["estimate_with_lost_bone", "has_far_crests"]
