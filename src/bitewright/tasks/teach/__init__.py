"""Exercises made, given out, answered and marked."""
