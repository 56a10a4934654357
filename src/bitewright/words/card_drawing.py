"""The words on a chair card's drawing."""

FROM_ABOVE, FROM_SIDE = "From above", "From the tube"
CASING, RING, RIM = "receptor", "ring", "rim"
BLOCK, BLOCK_HERE = "thick line: bite block", "dashed: bite block"


def drawing_description() -> str:
    """The drawing for those who cannot see it."""
    return (
        "From above: the upper teeth by number, receptor, bite block, ring and the tube's rim. "
        "From the tube: both rows of teeth by number with the receptor's edges behind them; "
        "dashed, what it records."
    )


__all__ = [
    "BLOCK",
    "BLOCK_HERE",
    "CASING",
    "FROM_ABOVE",
    "FROM_SIDE",
    "RIM",
    "RING",
    "drawing_description",
]
