"""Bugs planted one at a time into copies of the arithmetic: do the tests catch them?

`make mutants` runs the bugs that were drawn by seed (drawn.csv) and those thought of by hand
(by_hand.toml), and writes docs/mutants.md.
"""
