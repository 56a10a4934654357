"""Marks proposed by a trained network: read from its heat maps, ordered, and doubted."""
