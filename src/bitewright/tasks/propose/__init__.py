"""Marks proposed by the trained network, for a person to look at."""
