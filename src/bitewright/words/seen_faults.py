"""Faults a person sees on a film: what each comes from and what mends it, a sentence each.

Causes and remedies are common practice, no source.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from bitewright.log.faults import fault_kinds
from bitewright.marking.marks import CONE_CUT, FilmRemark


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFault:
    """A fault in words: ``title``, how it ``looks``, its ``cause`` and its ``remedy``."""

    title: str
    looks: str
    cause: str
    remedy: str


def _seen(name: str, *, looks: str, cause: str, remedy: str) -> SeenFault:
    return SeenFault(title=fault_kinds()[name].title, looks=looks, cause=cause, remedy=remedy)


SEEN_FAULTS: Mapping[str, SeenFault] = MappingProxyType(
    {
        CONE_CUT: _seen(
            CONE_CUT,
            looks="a part is blank, with a sharp straight or round edge",
            cause="The beam did not cover the receptor, for the tube stood off towards the side "
            "that is not blank.",
            remedy="Slide the whole tube towards the blank side, without turning it, until the "
            "beam covers the receptor.",
        ),
        "receptor-bent": _seen(
            "receptor-bent",
            looks="crowns or roots stretched at a corner, or a dark crease",
            cause="Film or plate was bent, mostly where a corner pressed on palate or floor.",
            remedy="Place it nearer the midline, where there is more room, and let it lie flat; "
            "where it still presses, take a smaller size.",
        ),
        "receptor-reversed": _seen(
            "receptor-reversed",
            looks="pale, with a pattern over it, or left and right changed round",
            cause="The back of the receptor faced the tube.",
            remedy="Look which face is towards the tube before it goes into the mouth.",
        ),
        "movement": _seen(
            "movement",
            looks="all edges are soft or double",
            cause="Patient, receptor or tube moved during the exposure.",
            remedy="Rest the head, let the patient close firmly and keep still, and wait until the "
            "tube's arm has come to rest.",
        ),
        "under-exposed": _seen(
            "under-exposed",
            looks="too light on film, grainy on a sensor or plate",
            cause="The receptor got too little radiation: too low a setting, the button let go, or "
            "the tube too far away.",
            remedy="Check the setting for this patient and region, bring the tube's end close and "
            "hold the button until the signal ends.",
        ),
        "over-exposed": _seen(
            "over-exposed",
            looks="too dark, thin edges burnt out",
            cause="The receptor got too much radiation: too high a setting for this patient or "
            "region.",
            remedy="Check the setting for this patient and region, and lower it.",
        ),
        "double-exposed": _seen(
            "double-exposed",
            looks="two pictures over each other",
            cause="The same film or plate was exposed twice.",
            remedy="Keep exposed ones apart from fresh ones, and read or erase plates at once.",
        ),
        "artefact": _seen(
            "artefact",
            looks="something that is not the patient, or a scratch or stain",
            cause="Something lay in the beam, or the receptor's face is worn or dirty.",
            remedy="Take glasses, earrings and dentures out of the beam, and clean or replace the "
            "receptor.",
        ),
    }
)
"""By the name under which a fault is kept with the marks and logged."""


def seen_faults(remarks: Iterable[FilmRemark]) -> tuple[str, ...]:
    """Names of the faults among what was seen on a film, in the order of `SEEN_FAULTS`."""
    seen = {remark.name for remark in remarks}
    return tuple(name for name in SEEN_FAULTS if name in seen)


def fault_sentence(name: str) -> str:
    """A fault with its cause: "Movement was seen. Patient, receptor or tube moved ..."."""
    fault = SEEN_FAULTS[name]
    title = fault.title
    return f"{title[:1].upper()}{title[1:]} seen. {fault.cause} {fault.remedy}"


__all__ = ["SEEN_FAULTS", "SeenFault", "fault_sentence", "seen_faults"]
