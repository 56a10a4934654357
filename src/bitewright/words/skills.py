"""What exercises ask a person to do, by one name everywhere: on a page, in a set, in competence."""

from types import MappingProxyType

from bitewright.competence.attempts import Skill
from bitewright.teaching.item import ItemKind
from bitewright.words.phrases import capital

SKILLS = MappingProxyType(
    {
        Skill.READ: "read a film",
        Skill.NAME: "name what went wrong",
        Skill.CORRECT: "correct it",
        Skill.AIM: "aim",
        Skill.DECIDE: "decide on a further film",
        Skill.ORDER: "order the steps",
    }
)
KIND_TITLES = MappingProxyType({kind: capital(SKILLS[Skill(kind.value)]) for kind in ItemKind})
"""The same as the title of an exercise."""

__all__ = ["KIND_TITLES", "SKILLS"]
