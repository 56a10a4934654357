"""Tests on data nobody here made; they need the folder of shared data."""
