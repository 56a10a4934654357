"""`bitewright teach tip`: a sheet of a real film, and what may not be shown."""

import re
from pathlib import Path

import pytest
from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

from bitewright.report.tip_page import TipPage, tip_pdf
from bitewright.tasks.teach import tip_sheet
from tests.surfaces.test_command_line import refusal, said

CONSENT = ("--consent-by", "T1", "--consent-on", "2026-01-31")


@pytest.fixture
def film(demonstration: tuple[Path, str], tmp_path: Path) -> tuple[str, ...]:
    """The demonstration's film, and where its sheet is to go."""
    out, _ = demonstration
    marks = str(out / "exposed.marks.json")
    sheet = str(tmp_path / "tip.pdf")
    return (str(out / "exposed.png"), "--marks", marks, "--fault", "overlap", "--out", sheet)


def test_the_sheet_has_film_move_checklist_and_consent(
    film: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[TipPage] = []
    monkeypatch.setattr(tip_sheet, "tip_pdf", lambda sheet: seen.append(sheet) or tip_pdf(sheet))
    said("teach", "tip", *film, *CONSENT, "--no-names-seen", "--better", film[0])
    written = Path(film[-1]).read_bytes()
    assert written.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type\s*/Page\b", written)) == 1, "one sheet for the wall"
    (sheet,) = seen
    assert sheet.move in said("assess", *film[:3], "--holder", "ring-holder", "--json")
    assert "towards the back of the mouth" in sheet.move
    assert sheet.drawing is not None
    assert [title for title, _ in sheet.films] == ["The film", "The next film"]
    assert sheet.checklist.looks[2] == "the rim or ring: turned with the receptor, not away from it"
    assert sheet.consent.startswith("Consent to show this film noted by T1 on 2026-01-31.")


@pytest.mark.parametrize(
    ("given", "word"),
    [
        ((*CONSENT,), "say with --no-names-seen that you saw none"),
        (("--consent-by", "T1", "--consent-on", "2999-01-01", "--no-names-seen"), "still to come"),
        (("--consent-by", "Mary Smith", *CONSENT[2:], "--no-names-seen"), "Mary Smith"),
        ((*CONSENT, "--no-names-seen", "--fault", "overlapp"), "Did you mean 'overlap'?"),
        ((*CONSENT, "--no-names-seen", "--out", "tip.png"), "ends in .pdf"),
    ],
)
def test_what_may_not_be_shown_is_refused_and_nothing_written(
    film: tuple[str, ...], given: tuple[str, ...], word: str
) -> None:
    assert word in " ".join(refusal("teach", "tip", *film, *given).split())
    assert not Path(film[-1]).exists()


def test_text_in_the_film_is_told(film: tuple[str, ...], tmp_path: Path) -> None:
    """The same picture without the note that it is simulated, and with a name drawn in."""
    named = tmp_path / "named.png"
    with Image.open(film[0]) as picture:
        grey = picture.convert("I;16") if picture.mode == "I" else picture.copy()
    level = 65535 if grey.mode.startswith("I") else 255
    font = ImageFont.load_default(40)
    ImageDraw.Draw(grey).text((60, 20), "DOE JANE 1970", fill=level, font=font)
    grey.save(named, pnginfo=PngInfo())
    told = " ".join(refusal("teach", "tip", str(named), *film[1:], *CONSENT).split())
    assert "may say whose it is: what looks like" in told
    assert "A program cannot know" in told
