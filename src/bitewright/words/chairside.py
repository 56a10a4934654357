"""Questions from the chairside in words, and what is said of answers that were weighed."""

from collections.abc import Mapping

from bitewright.explanation.chairside_answers import Answers, ChairsideQuestion
from bitewright.words.film_answers import RIM

CHAIRSIDE_QUESTIONS: Mapping[ChairsideQuestion, str] = {
    ChairsideQuestion.RIM: RIM,
    ChairsideQuestion.GAP_ALONG: "Was there a gap between rim and ring at the front or the back?",
    ChairsideQuestion.GAP_ABOVE: "Was there a gap between rim and ring above or below?",
    ChairsideQuestion.BITE: "Did the teeth touch the bite block, above and below?",
    ChairsideQuestion.FRONT: (
        "Did the receptor's front edge lie a third of a tooth or more further to the front than it "
        "was meant to?"
    ),
    ChairsideQuestion.BACK: (
        "Did the receptor's front edge lie a third of a tooth or more further to the back than it "
        "was meant to?"
    ),
    ChairsideQuestion.HIGH: "Was the receptor 1.5 mm or more too high in its holder?",
    ChairsideQuestion.LOW: "Was the receptor 1.5 mm or more too low in its holder?",
    ChairsideQuestion.LEVEL: "Was the receptor level, its front edge neither up nor down?",
}

WHY_ASKED = (
    "Asked of somebody who was there: of all that may be asked, this is expected to tell most of "
    "the cause."
)


def typed_question(question: ChairsideQuestion) -> str:
    """A question for the command line, with how it is answered there."""
    how = f"(--answer {question}=yes or --answer {question}=no)"
    return f"{CHAIRSIDE_QUESTIONS[question]} {how} {WHY_ASKED}"


def answers_sentence(answers: Answers) -> str:
    """What was answered and weighed; empty where nothing was."""
    if not answers:
        return ""
    said = [
        f"{CHAIRSIDE_QUESTIONS[question]} {'Yes' if answer else 'No'}"
        for question, answer in answers.items()
    ]
    return (
        f"Weighed with the marks, one answer in ten being taken for wrong (our choice): "
        f"{'; '.join(said)}"
    )


__all__ = ["CHAIRSIDE_QUESTIONS", "WHY_ASKED", "answers_sentence", "typed_question"]
