"""Two films at recall as rows of tables: each site, and how both exposures stood."""

from dataclasses import dataclass

from bitewright.tasks.visit.compare_recall import RecallAnswer
from bitewright.visit.recall import TOLD
from bitewright.words.landmarks import landmark_title
from bitewright.words.phrases import capital
from bitewright.words.recalls import DIFFERS, crest_change_words, site_words, stood_words


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteRow:
    """One site: whether it is comparable, and crest heights in mm, as words."""

    name: str
    title: str
    is_comparable: bool
    said: str
    by_angulation: str
    measured: str
    earlier: str
    later: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureRow:
    """One part of both exposures, and the later against the earlier, as words. [deg]"""

    part: str
    earlier: str
    later: str
    differs: str


def site_rows(answer: RecallAnswer) -> tuple[SiteRow, ...]:
    """Every site that is measured on both films, those not comparable first."""
    rows = [
        SiteRow(
            name=site.name,
            title=landmark_title(site.name),
            is_comparable=site.is_comparable,
            said=site_words(site),
            by_angulation=crest_change_words(site.by_angulation),
            measured=crest_change_words(site.measured),
            earlier=f"{site.earlier_mm:.1f}",
            later=f"{site.later_mm:.1f}",
        )
        for site in answer.told.sites
    ]
    return tuple(sorted(rows, key=lambda row: row.is_comparable))


def exposure_rows(answer: RecallAnswer) -> tuple[ExposureRow, ...]:
    """How both exposures stood, as estimated."""
    told = answer.told
    return tuple(
        ExposureRow(
            part=capital(DIFFERS[part]),
            earlier=stood_words(part, told.stood[0][part]),
            later=stood_words(part, told.stood[1][part]),
            differs=stood_words(part, told.differs[part]),
        )
        for part in TOLD
    )


__all__ = ["ExposureRow", "SiteRow", "exposure_rows", "site_rows"]
