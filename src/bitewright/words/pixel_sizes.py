"""How large a film's pixel is taken to be, from where, and what was doubtful about it."""

NOT_STATED = "no pixel size stated"
RESOLUTION_IGNORED = "stated resolution ignored"
SIZE_IGNORED = "stated size ignored"
AT_OBJECT_ONLY = "pixel size stated at the object only"
FROM_MARKS = "the marks"
FROM_FILE = "the image file"

AT_OBJECT_CAVEAT = (
    "The file states a pixel size corrected to the object, not the receptor's, so give the "
    "receptor's pixel size yourself."
)
PLACE_UNKNOWN_CAVEAT = (
    "The file does not say where its pixel size holds; it was taken as the receptor's."
)
_TAKEN_FOR_NONE = "it was taken for no pixel size, so give the pixel size or the receptor yourself."


def stated_in(where: str) -> str:
    """Where a file states its pixel size."""
    return f"pixel size from {where}"


def from_receptor(receptor: str) -> str:
    """A pixel size worked out from a receptor's size."""
    return f"the size of the {receptor}"


def pixel_words(pixel_mm: float, where: str) -> str:
    """How large a pixel is taken to be, and from where. [mm]"""
    return f"Pixel {pixel_mm:.4g} mm, from {where}."


def default_resolution(dpi: float) -> str:
    """A resolution that programs write when they know none. [dots an inch]"""
    return (
        f"The file states {dpi:.5g} dots an inch, a value programs write by default; "
        f"{_TAKEN_FOR_NONE}"
    )


def impossible_resolution(dpi: float, pixel_mm: float) -> str:
    """A resolution that no receptor has. [dots an inch, mm]"""
    return (
        f"The file states {dpi:.5g} dots an inch, {pixel_mm:.3g} mm a pixel, which no intraoral "
        f"receptor has; {_TAKEN_FOR_NONE}"
    )


def impossible_size(pixel_mm: float) -> str:
    """A pixel size that no receptor has. [mm]"""
    return (
        f"The file states {pixel_mm:.3g} mm a pixel, which no intraoral receptor has; "
        f"{_TAKEN_FOR_NONE}"
    )


def other_length(*, long_mm: float, pixel_mm: float, receptor: str, recorded_mm: float) -> str:
    """An image that is not as long as its receptor. [mm]"""
    return (
        f"The image is {long_mm:.1f} mm long at {pixel_mm:g} mm a pixel, the {receptor} "
        f"records {recorded_mm:g} mm: it may be cropped, or the pixel size wrong."
    )


__all__ = [
    "AT_OBJECT_CAVEAT",
    "AT_OBJECT_ONLY",
    "FROM_FILE",
    "FROM_MARKS",
    "NOT_STATED",
    "PLACE_UNKNOWN_CAVEAT",
    "RESOLUTION_IGNORED",
    "SIZE_IGNORED",
    "default_resolution",
    "from_receptor",
    "impossible_resolution",
    "impossible_size",
    "other_length",
    "pixel_words",
    "stated_in",
]
