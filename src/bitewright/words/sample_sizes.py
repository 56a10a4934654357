"""How many images an audit needs, and how little a small survey says."""

from bitewright.audit.sample_size import SurveyPower
from bitewright.words.phrases import counted

ALIKE = "Images of one patient are alike: count patients where you can."


def for_margin(images: int, *, rate: float, margin: float) -> str:
    """Images that tell a rate to within a margin either way."""
    return (
        f"To know a rate near {rate:.1%} within {100 * margin:g} points either way: "
        f"{counted(images, 'image')}."
    )


def for_change(images: int, *, rate: float, to: float, power: float) -> str:
    """Images that tell two rates apart."""
    return (
        f"To tell {rate:.1%} from {to:.1%} with a chance of {power:.0%}: "
        f"{counted(images, 'image')} in each of two samples."
    )


def survey_words(survey: SurveyPower, twice: SurveyPower) -> str:
    """What a survey with so many retakes allowed lets pass; ``twice``: at twice the rate."""
    return (
        f'"At most {survey.most} in {survey.images}": a true rate of {survey.rate:.1%} passes with '
        f"a chance of {survey.passes:.0%}; twice that rate with {twice.passes:.0%}. One survey "
        "says little: judge over several."
    )


__all__ = ["ALIKE", "for_change", "for_margin", "survey_words"]
