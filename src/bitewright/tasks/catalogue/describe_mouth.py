"""Describe a mouth: its contacts, and its whole description as a file to edit."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.tasks.catalogue.named import mouth_from
from bitewright.tasks.catalogue.resources import write_mouth
from bitewright.words.teeth import tooth_words


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MouthSummary:
    """A mouth, built."""

    mouth: Mouth
    outlines: Outlines
    written: Path | None

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


def describe_mouth(path: Path | None, write: Path | None = None) -> MouthSummary:
    """Read a mouth (the standard one without a path), build it, and write it if asked."""
    described = mouth_from(path)
    outlines = build_outlines(described)
    if write is not None:
        write_mouth(write, described)
    return MouthSummary(mouth=described, outlines=outlines, written=write)


__all__ = ["MouthSummary", "describe_mouth"]
