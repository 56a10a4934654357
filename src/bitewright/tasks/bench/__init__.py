"""The bench: one exposure, followed while it is moved."""
