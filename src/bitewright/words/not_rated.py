"""Why a film that a person decided on had no rating then, in words."""

NOT_LOOKED_AT = "marks-not-looked-at"
NO_RATING = "no-rating"
TO_CHECK = "marks-to-check"
NOT_RATED_WORDS = {
    NOT_LOOKED_AT: "its proposed marks were not all looked at",
    NO_RATING: "its marks told no rating",
    TO_CHECK: "its marks were to be checked first",
}
"""By what is kept of it beside a decision."""

__all__ = ["NOT_LOOKED_AT", "NOT_RATED_WORDS", "NO_RATING", "TO_CHECK"]
