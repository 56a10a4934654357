"""Teeth and bone as closed solids, built from the outlines for films."""
