"""The caution, worded once: it stands under everything that could lead to an exposure."""

NO_MEDICAL_DEVICE = (
    "Educational and quality-assurance aid; not a medical device, not for diagnosis."
)
CAUTION = (
    f"{NO_MEDICAL_DEVICE} Every exposure needs its own justification; the decision to expose, or "
    "to expose again, belongs to the licensed practitioner under local rules and the maker's "
    "instructions."
)

__all__ = ["CAUTION", "NO_MEDICAL_DEVICE"]
