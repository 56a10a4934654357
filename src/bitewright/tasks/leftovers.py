"""Sweep what killed commands left, at the start of the next."""

from bitewright.keeping.leftovers import sweep_leftovers

__all__ = ["sweep_leftovers"]
