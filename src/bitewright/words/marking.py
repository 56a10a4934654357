"""What a person who marks a film is told before the first mark."""

from types import MappingProxyType

HOW_TO_MARK = (
    "Mark what you can see, in this order, as x and y in pixels; what is covered gets the status "
    '"hidden", what lies beyond the edge "outside". Leave out what you did not look for.'
)
WHAT_MARKS_TELL = (
    "The two edges at each contact tell what is open, and which way the tube swung. Crests tell "
    "how much bone is shown; cusps and necks tell how high and how level the receptor stood."
)
WHERE_A_MARK_GOES = MappingProxyType(
    {
        "edge": "the visible edge of the crown at its contact, where its grey ends: at the height "
        "where the two crowns overlap most, or come nearest; on a side without a neighbour, where "
        "the crown (not the root) reaches furthest",
        "junction": "where the enamel ends in a point on the root on that side",
        "crest": "the corner of the bone beside that surface: the top of its bright edge, next to "
        "the dark line along the root",
        "cusp": "the top of that cusp's visible outline, furthest towards the opposite teeth",
        "enamel": "where the bright enamel gives way to dentine on that side, at the height of the "
        "contact",
    }
)
"""One sentence for each kind of mark; `marking.visible_places` has how it is read."""

WHERE_MARKS_GO = "Where each mark goes"
WHERE_MARKS_GO_PICTURE = (
    "Four cuts from a simulated film, a cross on each mark: the edges of two crowns at their "
    "contact, the junction on a root, the corner of the bone beside it, the top of a cusp."
)
MARK_TITLES = MappingProxyType(
    {
        "edge": "edge of a crown",
        "junction": "junction",
        "crest": "bone crest",
        "cusp": "cusp",
        "enamel": "enamel and dentine",
    }
)
EMPTY_MARKS = "Marks file without marks"
NAME_HEADING = "name in the file"
PLACE_HEADING = "place on the film"

__all__ = [
    "EMPTY_MARKS",
    "HOW_TO_MARK",
    "MARK_TITLES",
    "NAME_HEADING",
    "PLACE_HEADING",
    "WHAT_MARKS_TELL",
    "WHERE_A_MARK_GOES",
    "WHERE_MARKS_GO",
    "WHERE_MARKS_GO_PICTURE",
]
