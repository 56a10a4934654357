"""A mouth's light form: flanks, contacts, cusps, cemento-enamel junctions, crest, apices.

Enough for landmarks, contacts, planning and estimating; built in milliseconds. All points are in
the mouth frame with the jaws closed; the lower jaw's are opened later (`jaws.opened`).
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.arches import contact_between, place_arches
from bitewright.mouth.contacts import PlacedArch
from bitewright.mouth.crown_sections import CrownSections, joined_sections
from bitewright.mouth.flanks import DISTAL, MESIAL, NO_FACET_MM, crown_flanks
from bitewright.mouth.jaws import ArchParts, hinge_axis_mm
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.occlusal_surface import NO_CUSP_MM, Cusps, joined_cusps
from bitewright.mouth.tooth_forms import is_right, tooth_form
from bitewright.space import Pose

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ContactSite:
    """Where two neighbours of one quadrant meet, or face each other across a space.

    Parameters
    ----------
    pair : tuple of two ISO 3950 codes
        The tooth nearer the midline first.
    point_mouth, normal_mouth : (3,) float arrays
        Middle of the facet [mm]; horizontal unit direction across it, towards the front.
    open_azimuth_deg : float
        Horizontal direction of the tube in which the contact is open: 0 straight from the side,
        positive with the tube towards the front of the mouth. [deg]
    facet_width_mm, gap_mm, enamel_mm : float
        Facet width, gap, and the thinner of the two adjoining enamels. [mm]
    """

    pair: tuple[int, int]
    point_mouth: Floats
    normal_mouth: Floats
    open_azimuth_deg: float
    facet_width_mm: float
    gap_mm: float
    enamel_mm: float

    @property
    def name(self) -> str:
        """The two codes, as "15-16"."""
        return f"{self.pair[0]}-{self.pair[1]}"


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class Outlines:
    """Teeth present in a mouth, placed; the jaws closed.

    Parameters
    ----------
    mouth : Mouth
        What was built.
    codes : tuple of T int
        Teeth present, ISO 3950.
    origins_mouth, axes_mouth : (T, 3) and (T, 3, 3) float arrays
        Local origins [mm] and axes (rows: mesial, buccal, occlusal).
    flanks_mouth : (T, 2, K, M, 3) float array
        Mesial and distal flank of every crown, rows by height, facets cut. [mm]
    sites : tuple of ContactSite
        Contacts within the quadrants.
    points_mouth : mapping of name to (3,) float array
        ``16.mesial.cej``, ``16.mesial.crest``, ``16.mesiobuccal.cusp``, ``16.mesiobuccal.apex``.
    hinge_mm : (y, z) of the axis the mandible opens about. [mm]
    sections, cusps : shape tables, rows as ``codes``
    planes_mouth : (T, 2, 4) float array
        Facet planes (outward normal, offset) [mm]; offset `NO_FACET_MM` where there is none.
    mouth_from_lower : Pose
        From axes of the lower arch's own, in which no upper tooth moves a lower one.
    """

    mouth: Mouth
    codes: tuple[int, ...]
    origins_mouth: Floats
    axes_mouth: Floats
    flanks_mouth: Floats
    sites: tuple[ContactSite, ...]
    points_mouth: dict[str, Floats]
    hinge_mm: tuple[float, float]
    sections: CrownSections
    cusps: Cusps
    planes_mouth: Floats
    mouth_from_lower: Pose

    @cached_property
    def row(self) -> dict[int, int]:
        """Row of each tooth present."""
        return {code: row for row, code in enumerate(self.codes)}

    @cached_property
    def site(self) -> dict[tuple[int, int], ContactSite]:
        """Contact sites by their pair."""
        return {site.pair: site for site in self.sites}

    def crown_middle_mouth(self, code: int) -> Floats:
        """Middle (3,) of a crown at the height of its contacts. [mm]"""
        row = self.row[code]
        height = self.sections.contact_mm[row].mean()
        return np.asarray(self.origins_mouth[row] + height * self.axes_mouth[row, 2])


def build_outlines(mouth: Mouth) -> Outlines:
    """Place the teeth of a mouth in contact, relate the jaws, and take the outlines off.

    Raises
    ------
    EmptyArchError
        If an arch has fewer than two teeth to place.
    """
    arches = place_arches(mouth)
    both = (arches.upper, arches.lower)
    planes, sites = _facets(mouth, both)
    keep = [
        [row for row, code in enumerate(part.codes) if mouth.teeth[code].present] for part in both
    ]
    sections = joined_sections(
        [part.sections.take(rows) for part, rows in zip(both, keep, strict=True)]
    )
    tips = joined_cusps([part.cusps.take(rows) for part, rows in zip(both, keep, strict=True)])
    origins, axes, facets = (
        np.concatenate([whole[rows] for whole, rows in zip(parts, keep, strict=True)])
        for parts in (
            [part.placed.origins_arch for part in both],
            [part.placed.axes_arch for part in both],
            planes,
        )
    )
    return Outlines(
        mouth=mouth,
        codes=sections.codes,
        origins_mouth=origins,
        axes_mouth=axes,
        flanks_mouth=crown_flanks(sections, origins, axes, facets),
        sites=sites,
        points_mouth=_points(mouth, sections, tips, origins, axes),
        hinge_mm=hinge_axis_mm(arches.lower_front_mouth),
        sections=sections,
        cusps=tips,
        planes_mouth=facets,
        mouth_from_lower=arches.mouth_from_lower,
    )


def _facets(
    mouth: Mouth, parts: tuple[ArchParts, ArchParts]
) -> tuple[list[Floats], tuple[ContactSite, ...]]:
    """Facet planes of each arch's teeth (T, 2, 4), and the contact sites within quadrants."""
    every_plane, sites = [], []
    for part in parts:
        arch = part.placed
        planes = np.zeros((len(part.codes), 2, 4))
        planes[:, :, 3] = NO_FACET_MM
        every_plane.append(planes)
        normals, half_gap = arch.normals_arch, 0.5 * arch.gaps_mm
        reach = (normals * arch.points_arch).sum(axis=1)
        right_side = np.concatenate([normals, (reach - half_gap)[:, None]], axis=1)
        left_side = np.concatenate([-normals, (-reach - half_gap)[:, None]], axis=1)
        # The tube direction lies in the facet's plane: the normal turned a quarter outward.
        across, along = arch.normals_arch[:, 0], np.abs(arch.normals_arch[:, 1])
        azimuth = np.rad2deg(np.arctan2(across, along)).tolist()
        for i, (right, left) in enumerate(pairwise(part.codes)):
            if not (mouth.teeth[right].present and mouth.teeth[left].present):
                continue
            planes[i, MESIAL if is_right(right) else DISTAL] = right_side[i]
            planes[i + 1, DISTAL if is_right(left) else MESIAL] = left_side[i]
            if is_right(right) == is_right(left):
                sites.append(_site(mouth, arch, i, (right, left), azimuth[i]))
    return every_plane, tuple(sites)


def _site(
    mouth: Mouth, arch: PlacedArch, i: int, pair: tuple[int, int], azimuth_deg: float
) -> ContactSite:
    """The contact of two neighbours of a quadrant, given right to left."""
    right = is_right(pair[0])
    pair = (pair[1], pair[0]) if right else pair
    normal = arch.normals_arch[i]
    return ContactSite(
        pair=pair,
        point_mouth=arch.points_arch[i],
        normal_mouth=normal if right else -normal,
        open_azimuth_deg=azimuth_deg,
        facet_width_mm=contact_between(mouth, *pair).facet_width_mm,
        gap_mm=float(arch.gaps_mm[i]),
        enamel_mm=min(mouth.teeth[code].enamel_contact_mm for code in pair),
    )


def _points(
    mouth: Mouth, sections: CrownSections, tips: Cusps, origins: Floats, axes: Floats
) -> dict[str, Floats]:
    """Named points of every tooth present. [mm]"""
    teeth = [mouth.teeth[code] for code in sections.codes]
    cej = np.array([(t.cej_curve_mesial_mm, t.cej_curve_distal_mm) for t in teeth])
    crest = cej - np.array([(t.crest_mesial_mm, t.crest_distal_mm) for t in teeth])
    height = np.stack([cej, crest], axis=-1)
    tooth = np.broadcast_to(np.arange(len(teeth))[:, None, None], height.shape)
    row = sections.at(tooth, height)
    side = np.array([1.0, -1.0])[:, None]
    local = np.stack([row[..., 0] + side * row[..., 1], row[..., 2], height], axis=-1)
    placed = (local.reshape(len(teeth), 4, 3) @ axes) + origins[:, None]
    cusp = tips.tips_tooth @ axes + origins[:, None]
    size = np.array([(t.md_cervix_mm, t.bl_cervix_mm, -t.root_length_mm) for t in teeth])
    owner, shares = _apex_shares(sections.codes)
    apex = ((shares * size[owner])[:, None] @ axes[owner])[:, 0] + origins[owner]
    used = tips.tips_tooth[:, :, 2] > NO_CUSP_MM
    points = np.concatenate([placed.reshape(-1, 3), cusp[used], apex])
    return dict(zip(_point_names(sections.codes, tips.names), points, strict=True))


@lru_cache(maxsize=32)
def _point_names(
    codes: tuple[int, ...], cusp_names: tuple[tuple[str, ...], ...]
) -> tuple[str, ...]:
    """Names in the order of `_points`: junctions and crests, cusps, apices."""
    necks = [
        f"{code}.{surface}.{feature}"
        for code in codes
        for surface in ("mesial", "distal")
        for feature in ("cej", "crest")
    ]
    cusp_tips = [
        f"{code}.{name}.cusp"
        for code, names in zip(codes, cusp_names, strict=True)
        for name in names
    ]
    apices = [f"{code}.{name}.apex" for code in codes for name in tooth_form(code).apices]
    return (*necks, *cusp_tips, *apices)


@lru_cache(maxsize=32)
def _apex_shares(codes: tuple[int, ...]) -> tuple[NDArray[np.intp], Floats]:
    """Row of the tooth of each apex, and its place as shares of neck and root length."""
    rows = [
        (row, mesial, buccal)
        for row, code in enumerate(codes)
        for mesial, buccal in tooth_form(code).apices.values()
    ]
    owner = np.array([row for row, _, _ in rows], dtype=np.intp)
    return owner, np.array([(mesial, buccal, 1.0) for _, mesial, buccal in rows])


__all__ = ["ContactSite", "Outlines", "build_outlines"]
