"""Typesetting: a report's pages as PDF, a drawing as pixels, both from the same SVG."""

from collections.abc import Mapping
from io import BytesIO
from typing import Literal

import numpy as np
import typst
from numpy.typing import NDArray
from PIL import Image

from bitewright.keeping.leftovers import work_folder
from bitewright.report.shapes import Drawing
from bitewright.report.svg import svg_of

POINTS_AN_INCH = 72.0
ALONE = """
#set page(width: {width}pt, height: {height}pt, margin: 0pt)
#image("drawing.svg", width: 100%)
"""


def typeset_pdf(files: Mapping[str, bytes]) -> bytes:
    """PDF/UA-1 of ``main.typ``, which finds the other files beside it: tagged, all inside."""
    return _typeset(files, "pdf")


def picture_of(drawing: Drawing) -> NDArray[np.uint8]:
    """The drawing as pixels, (rows, columns, 3)."""
    page = ALONE.format(width=drawing.width, height=drawing.height)
    made = _typeset({"main.typ": page.encode(), "drawing.svg": svg_of(drawing).encode()}, "png")
    with Image.open(BytesIO(made)) as image:
        return np.asarray(image.convert("RGB"))


def _typeset(files: Mapping[str, bytes], form: Literal["pdf", "png"]) -> bytes:
    """Set with the typefaces that come along, so that every machine gives the same."""
    with work_folder() as folder:
        for file, content in files.items():
            (folder / file).write_bytes(content)
        made: bytes = typst.compile(
            str(folder / "main.typ"),
            root=str(folder),
            format=form,
            ppi=POINTS_AN_INCH if form == "png" else None,
            pdf_standards=["ua-1"] if form == "pdf" else [],
            ignore_system_fonts=True,
        )
    return made


__all__ = ["picture_of", "typeset_pdf"]
