"""What a person who marks a film is told before the first mark."""

HOW_TO_MARK = (
    "Mark what you can see, in this order, as x and y in pixels; what is covered gets the status "
    '"hidden", what lies beyond the edge "outside". Leave out what you did not look for.'
)
WHAT_MARKS_TELL = (
    "The two edges at each contact tell what is open, and which way the tube swung. Crests tell "
    "how much bone is shown; cusps and necks tell how high and how level the receptor stood."
)
EMPTY_MARKS = "Marks file without marks"
NAME_HEADING = "name in the file"
PLACE_HEADING = "place on the film"

__all__ = ["EMPTY_MARKS", "HOW_TO_MARK", "NAME_HEADING", "PLACE_HEADING", "WHAT_MARKS_TELL"]
