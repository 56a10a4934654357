"""Assess a marked film, and explain it."""
