"""A film's rating under a scheme."""


def rating_words(grade: str, scheme: str) -> str:
    """A film's grade."""
    return f"Rating {grade} ({scheme})."


def predicted_rating(purpose: str, grade: str, scheme: str) -> str:
    """What a view is for, and the grade a plan is predicted to get."""
    return f"{purpose}. Predicted rating {grade} ({scheme})."


def exposure_rating(purpose: str, grade: str, scheme: str) -> str:
    """What a view is for, and the grade an exposure is predicted to get."""
    return f"{purpose}. {rating_words(grade, scheme)}"


__all__ = ["exposure_rating", "predicted_rating", "rating_words"]
