"""Describe a mouth: its contacts, and its whole description as a file to edit."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright.dentition.mouth import Mouth
from bitewright.dentition.mouth_description import mouth_to_description
from bitewright.dentition.outlines import Outlines, build_outlines
from bitewright.tasks.resources import mouth, write_mouth


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MouthSummary:
    """A mouth, built."""

    mouth: Mouth
    outlines: Outlines
    written: Path | None

    def document(self) -> dict[str, Any]:
        """The whole description, and the open direction of every contact."""
        return mouth_to_description(self.mouth) | {
            "open_azimuth_deg": {
                site.name: round(site.open_azimuth_deg, 2) for site in self.outlines.sites
            }
        }


def describe_mouth(path: Path | None, write: Path | None = None) -> MouthSummary:
    """Read a mouth (the standard one without a path), build it, and write it if asked."""
    described = mouth(path)
    outlines = build_outlines(described)
    if write is not None:
        write_mouth(write, described)
    return MouthSummary(mouth=described, outlines=outlines, written=write)


__all__ = ["MouthSummary", "describe_mouth"]
