"""What the mouths that can be named are, other than those whose table says it."""

STANDARD = "every permanent tooth but third molars, sizes of the published table"
DRAWN = "drawn by its number, as people differ; any other number too"
OWN = "your own"

__all__ = ["DRAWN", "OWN", "STANDARD"]
