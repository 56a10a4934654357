"""Marks set on a film, and what they measure."""
