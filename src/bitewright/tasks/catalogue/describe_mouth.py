"""Describe a mouth: its contacts, and its whole description as a file to edit."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright.files.toml_files import write_toml
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.words import file_notes
from bitewright.words.teeth import tooth_words


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MouthSummary:
    """A mouth, built."""

    mouth: Mouth
    outlines: Outlines

    @property
    def lines(self) -> dict[int, str]:
        """What each tooth carries and has lost, in words, for teeth that differ from sound ones."""
        told = {code: tooth_words(tooth) for code, tooth in self.mouth.teeth.items()}
        return {code: words for code, words in told.items() if words}

    def document(self) -> dict[str, Any]:
        """The whole description, and the open direction of every contact."""
        return mouth_to_description(self.mouth) | {
            "open_azimuth_deg": {
                site.name: round(site.open_azimuth_deg, 2) for site in self.outlines.sites
            }
        }


def describe_mouth(mouth: Mouth) -> MouthSummary:
    """Build a mouth and find what is to be told of it."""
    return MouthSummary(mouth=mouth, outlines=build_outlines(mouth))


def write_mouth(path: Path, of: Mouth) -> None:
    """Write a mouth's whole description.

    Raises
    ------
    FileUnwritableError
    """
    write_toml(path, mouth_to_description(of), comment=file_notes.MOUTH)


__all__ = ["MouthSummary", "describe_mouth", "write_mouth"]
