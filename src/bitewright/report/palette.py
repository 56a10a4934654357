"""The colours of everything drawn, by what they say. Ours by choice."""

WHITE = "#ffffff"

# Dark on paper.
INK = "#26323a"
QUIET = "#5d6970"
RULE = "#e0e5e7"
EDGE = "#bfc5c8"
CALM = "#2a6f8f"
PALE = "#d8e7ee"
WARM = "#b04a12"
ALARM = "#9c1c10"
TOOTH = "#ece9e2"
TOOTH_EDGE = "#8c8880"

# An exposure as estimated and the one for next time: the first is lighter where colours are lost.
WAS = "#c45812"
NEXT = "#123e80"
NEXT_FILL = "#d4e0f0"

# Light on the dark ground of films.
GROUND = "#121316"
LIGHT = "#e8e6e0"
DIM = "#a0a09c"
SIGNS = {
    "=": "#78c896",
    "=?": "#b4cc78",
    "~": "#ebc86e",
    "~?": "#eea86e",
    "x": "#f0826e",
    "-": "#aaaaaa",
    "?": "#aaaaaa",
}
"""Colour of a state's sign."""
MARKS = {
    "crest": "#82bef0",
    "cej": "#dcaae6",
    "cusp": "#ebc86e",
    "dej": "#c8c8c8",
    "edge": "#78dca0",
}
"""Colour of a mark by what it marks."""


__all__ = [
    "ALARM",
    "CALM",
    "DIM",
    "EDGE",
    "GROUND",
    "INK",
    "LIGHT",
    "MARKS",
    "NEXT",
    "NEXT_FILL",
    "PALE",
    "QUIET",
    "RULE",
    "SIGNS",
    "TOOTH",
    "TOOTH_EDGE",
    "WARM",
    "WAS",
    "WHITE",
]
