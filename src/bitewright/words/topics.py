"""What an exercise is about, in words: a fault, or what is read on a film."""

from types import MappingProxyType

from bitewright.competence.attempts import Skill
from bitewright.explanation.correction import CauseName
from bitewright.log.faults import fault_kinds
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.handled import HANDLED
from bitewright.teaching.reading import ReadQuestion
from bitewright.words.handled import HANDLED_WORDS
from bitewright.words.titles import CAUSES

READ_TOPICS = MappingProxyType(
    {
        ReadQuestion.OVERLAP: "which contact overlaps",
        ReadQuestion.SURFACE: "which surface it is",
        ReadQuestion.FRONT: "which end is the front",
    }
)
PLANTED_TITLES = MappingProxyType(
    {
        PlantedFault.TURNED_TO_CANINE: "receptor turned to the opposite canine",
        PlantedFault.TURNED_TO_TEETH: "receptor turned to the teeth",
        PlantedFault.BEAM_OFF_FRONT: "beam off the receptor's front edge",
        PlantedFault.BEAM_OFF_BACK: "beam off the receptor's back edge",
        **{
            fault: CAUSES[CauseName(fault.value)]
            for fault in PlantedFault
            if fault.value in {cause.value for cause in CauseName}
        },
        **{fault: HANDLED_WORDS[fault].said for fault in HANDLED},
    }
)


def topic_words(skill: Skill, topic: str) -> str:
    """A topic of a skill; what a file calls by another name stays as it is written there."""
    if skill is Skill.READ and topic in list(ReadQuestion):
        return READ_TOPICS[ReadQuestion(topic)]
    if topic in list(PlantedFault):
        return PLANTED_TITLES[PlantedFault(topic)]
    kinds = fault_kinds()
    return kinds[topic].title.lower() if topic in kinds else topic


__all__ = ["PLANTED_TITLES", "READ_TOPICS", "topic_words"]
