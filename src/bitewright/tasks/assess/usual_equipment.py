"""What an estimate takes where nobody says what a film was taken with."""

USUAL_HOLDER, USUAL_TUBE = "ring-holder", "rectangular-300"

__all__ = ["USUAL_HOLDER", "USUAL_TUBE"]
