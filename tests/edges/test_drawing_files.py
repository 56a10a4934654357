"""Drawings on disk: both formats whole, another name refused with nothing written."""

from pathlib import Path
from xml.dom.minidom import parse

import numpy as np
import pytest
from PIL import Image

from bitewright.files.disk import FileUnwritableError
from bitewright.files.images import UnknownImageFormatError
from bitewright.report.correction_drawing import correction_drawing
from bitewright.report.typeset import picture_of
from bitewright.tasks.assess.drawing_files import write_drawing
from tests.sample_corrections import sample


def written(path: Path) -> Path:
    off = sample(swing_deg=8)
    drawing = correction_drawing(off.correction, present=off.present, plan=off.plan)
    return write_drawing(path, drawing)


def test_svg_holds_its_words_and_says_what_it_is(tmp_path: Path) -> None:
    page = parse(str(written(tmp_path / "correction.svg")))  # noqa: S318 (our own file)
    title = page.getElementsByTagName("title")[0].firstChild.data
    assert title == "Correction, ESTIMATED: right premolar"
    said = page.getElementsByTagName("desc")[0].firstChild.data
    assert said.startswith("Next time, or if another exposure is justified: slide the tube")
    assert "not a medical device" in said
    assert page.documentElement.getAttribute("width") == "1500"


def test_png_is_the_picture_with_the_sentence_in_its_data(tmp_path: Path) -> None:
    off = sample(swing_deg=8)
    drawing = correction_drawing(off.correction, present=off.present, plan=off.plan)
    with Image.open(written(tmp_path / "correction.PNG")) as image:
        assert np.array_equal(np.asarray(image), picture_of(drawing))
        assert "slide the tube" in image.info["Description"]


def test_another_ending_is_refused_and_nothing_written(tmp_path: Path) -> None:
    with pytest.raises(UnknownImageFormatError, match=r"\.svg or \.png"):
        written(tmp_path / "correction.pdf")
    with pytest.raises(FileUnwritableError):
        written(tmp_path / "nowhere" / "correction.svg")
    assert list(tmp_path.iterdir()) == []
