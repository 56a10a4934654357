"""The predicted film: closed shells, contacts as the outlines have them, mirror, label, field."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.film.beam_mask import beam_mask
from bitewright.film.path_lengths import path_lengths
from bitewright.film.predicted_film import film_lengths, predicted_film
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.film.simulated_label import with_label
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.jaws import opened
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_parts import ToothPart
from bitewright.quality.views import mirrored_view, view
from bitewright.solids.tooth_shells import tooth_shells
from bitewright.space import ClosedMesh, Pose
from bitewright.steps import StoppedError
from tests.scenes import film_mouth_in, film_mouth_of, station_in, station_of, usual_teeth

AGREEMENT_MM = 0.03
"""Film and outlines may differ by this much in overlap."""

LEAST_SEEN_MM = 0.01
"""A length of any tissue is never less than none by more than this."""

COARSE_MM = 0.2
FINE_MM = 0.01
PAIRS = {
    "right-premolar": ((14, 15), (15, 16), (44, 45), (45, 46)),
    "left-molar": ((25, 26), (26, 27), (35, 36), (36, 37)),
}


def gapped() -> Mouth:
    """A mouth with a missing tooth, a turned one and a third molar's space unused."""
    base = standard_mouth()
    teeth = {**base.teeth, 45: replace(base.teeth[45], present=False)}
    teeth[15] = replace(teeth[15], rotation_deg=12.0)
    return replace(base, teeth=teeth)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("mouth", "name"),
    [
        (gapped(), "right-premolar"),
        pytest.param(standard_mouth(), "left-molar", marks=pytest.mark.slow),
        pytest.param(drawn_mouth(4), "left-molar", marks=pytest.mark.slow),
        pytest.param(drawn_mouth(4), "right-premolar", marks=pytest.mark.slow),
    ],
)
def test_every_shell_is_closed_wound_outward_and_solid(mouth: Mouth, name: str) -> None:
    for part in film_mouth_in(station_in(mouth, name)).parts:
        assert part.mesh.checked().volume_mm3 > 0.5, part.group


@pytest.mark.parametrize("name", ["right-premolar", "left-molar"])
def test_signs_balance_at_every_pixel(name: str) -> None:
    at = station_of(name)
    exposure = expose(at, Placement(lingual_mm=4.0), Aim(ring_offset_deg=3.0, vertical_deg=6.0))
    grid = ReceptorGrid.covering(width_mm=41.0, height_mm=31.0, pixel_mm=0.05)
    lengths = film_lengths(exposure, film_mouth_of(name), grid)
    assert (lengths.signs == 0).all()
    assert lengths.lengths_mm[ShellGroup.TOOTH].max() > 8.0


@pytest.mark.parametrize("swing", [-8.0, -3.0, 0.0, 5.0, 10.0])
@pytest.mark.parametrize("name", ["right-premolar", "left-molar"])
def test_crowns_of_the_film_overlap_as_the_outlines_say(name: str, swing: float) -> None:
    at = station_of(name)
    exposure = expose(at, Placement(lingual_mm=4.0), Aim(ring_offset_deg=swing, vertical_deg=5.0))
    landmarks, _ = project(exposure, targets(at.outlines, at.region))
    shells = crowns_of(name)
    for front, back in PAIRS[name]:
        sign = at.region.front_sign
        edges = [landmarks.points(f"{front}.distal")[0], landmarks.points(f"{back}.mesial")[0]]
        ours = sign * (edges[1][0] - edges[0][0])
        film = silhouette_overlap_mm(exposure, shells[front], shells[back], edges[0])
        assert film == pytest.approx(ours, abs=AGREEMENT_MM), (front, back)


@cache
def crowns_of(name: str) -> dict[int, ClosedMesh]:
    """The standard mouth's solid teeth in a view's region, made once."""
    at = station_of(name)
    codes = tuple(code for code in at.outlines.codes if code // 10 in at.region.quadrants)
    return {shell.code: shell.outer for shell in usual_teeth(codes)}


def silhouette_overlap_mm(
    exposure: Exposures, front: ClosedMesh, back: ClosedMesh, near: NDArray[np.float64]
) -> float:
    """Widest overlap of two crowns' shadows on the receptor near a contact, along u. [mm]

    From the lengths of rays in each crown on a fine grid, so that it does not depend on where the
    meshes have their vertices.
    """
    seat, outlines = exposure.seat, exposure.station.outlines
    pose = Pose(seat.axes_mouth[0], -seat.axes_mouth[0] @ seat.centres_mouth[0])
    grid = ReceptorGrid(
        columns=500,
        rows=141,
        pixel_mm=FINE_MM,
        first_u_mm=near[0] - 250 * FINE_MM,
        first_v_mm=near[1] - 70 * FINE_MM,
    )
    shadows = []
    for mesh in (front, back):
        opening = float(seat.opening_deg[0]) if mesh.vertices_mm[:, 2].mean() < 0 else 0.0
        placed = ClosedMesh(opened(mesh.vertices_mm, outlines.hinge_mm, opening), mesh.triangles)
        source = pose.points(exposure.beam.sources_mouth[0])
        lengths = path_lengths([placed.moved(pose)], [0], source, grid).lengths_mm[0]
        shadows.append((lengths > 1e-3)[:, :: int(exposure.station.region.front_sign)])
    both = shadows[0].any(axis=1) & shadows[1].any(axis=1)
    first = np.argmax(shadows[0], axis=1)
    last = grid.columns - 1 - np.argmax(shadows[1][:, ::-1], axis=1)
    return float(FINE_MM * ((last - first)[both].max() + 0.5))


def test_neighbouring_crowns_do_not_reach_into_one_another() -> None:
    outlines = build_outlines(drawn_mouth(1))
    shells = {s.code: s.outer for s in tooth_shells(outlines, (14, 15, 16, 44, 45, 46))}
    for pair in ((14, 15), (15, 16), (44, 45), (45, 46)):
        site = outlines.site[pair]
        for code, side in zip(pair, (1.0, -1.0), strict=True):
            row = outlines.row[code]
            vertices = shells[code].vertices_mm
            up = (vertices - outlines.origins_mouth[row]) @ outlines.axes_mouth[row, 2]
            beyond = -side * ((vertices[up > 2.5] - site.point_mouth) @ site.normal_mouth)
            assert beyond.max() <= 0.02


def test_enamel_ends_where_the_root_begins() -> None:
    """Rays through roots only meet no enamel: outer and dentine shells coincide there."""
    at = station_of("right-premolar", "film-2")
    exposure = expose(at, Placement(lingual_mm=4.0), Aim())
    mouth = film_mouth_of()
    roots = replace(mouth, parts=tuple(p for p in mouth.parts if p.group <= ShellGroup.DENTINE))
    grid = ReceptorGrid.covering(width_mm=36.0, height_mm=60.0, pixel_mm=COARSE_MM)
    lengths = film_lengths(exposure, roots, grid).lengths_mm
    enamel = lengths[ShellGroup.TOOTH] - lengths[ShellGroup.DENTINE]
    top = np.abs(grid.v_mm) > 18.0
    assert lengths[ShellGroup.TOOTH][top].max() > 2.0
    assert np.abs(enamel[top]).max() < 1e-3
    assert enamel[~top].max() > 2.0


@pytest.mark.slow
@pytest.mark.parametrize(
    ("mouth", "name"),
    [
        (drawn_mouth(4), "left-molar"),
        pytest.param(standard_mouth(), "right-premolar", marks=pytest.mark.slow),
        pytest.param(standard_mouth(), "left-molar", marks=pytest.mark.slow),
        pytest.param(gapped(), "right-premolar", marks=pytest.mark.slow),
        pytest.param(drawn_mouth(6), "right-premolar", marks=pytest.mark.slow),
    ],
)
def test_no_ray_meets_less_than_none_of_a_material(mouth: Mouth, name: str) -> None:
    """What is taken out of a host lies in it: sockets in bone, laminae in spongiosa, pulp."""
    at = station_in(mouth, name)
    exposure = expose(at, Placement(lingual_mm=4.0), Aim(vertical_deg=5.0))
    grid = ReceptorGrid.covering(width_mm=41.0, height_mm=31.0, pixel_mm=COARSE_MM)
    inside = film_lengths(exposure, film_mouth_in(at), grid).lengths_mm
    # Facets are cut into the outer surface only: at its thin edge 0.012 mm was seen.
    assert (inside[ShellGroup.TOOTH] - inside[ShellGroup.DENTINE]).min() > -0.02
    assert (inside[ShellGroup.DENTINE] - inside[ShellGroup.PULP]).min() > -0.01
    cortex = inside[ShellGroup.BONE] - inside[ShellGroup.SPONGIOSA]
    soft = inside[ShellGroup.SOFT_TISSUE] - inside[ShellGroup.BONE]
    for tissue in (inside[ShellGroup.SPONGIOSA], cortex, soft):
        assert tissue.min() > -LEAST_SEEN_MM
        assert tissue.max() > 4.0


@pytest.mark.slow
@pytest.mark.parametrize(
    "loss_mm",
    [4.5, *(pytest.param(loss, marks=pytest.mark.slow) for loss in (3.5, 6.0, 9.0))],
)
def test_bone_stays_whole_as_the_crest_passes_the_furcations(loss_mm: float) -> None:
    base = standard_mouth()
    teeth = {
        code: replace(tooth, crest_mesial_mm=loss_mm, crest_distal_mm=loss_mm + 1.0)
        for code, tooth in base.teeth.items()
    }
    at = station_in(replace(base, teeth=teeth))
    exposure = expose(at, Placement(lingual_mm=4.0), Aim(ring_offset_deg=4.0, vertical_deg=5.0))
    grid = ReceptorGrid.covering(width_mm=41.0, height_mm=45.0, pixel_mm=0.1)
    inside = film_lengths(exposure, film_mouth_in(at), grid).lengths_mm
    assert inside[ShellGroup.SPONGIOSA].min() > -LEAST_SEEN_MM
    assert (inside[ShellGroup.BONE] - inside[ShellGroup.SPONGIOSA]).min() > -LEAST_SEEN_MM


@pytest.mark.slow
def test_a_mirrored_mouth_gives_the_mirrored_film() -> None:
    mouth = drawn_mouth(2)
    here = view("right-premolar")
    films = []
    for which, each in ((here, mouth), (mirrored_view(here), mouth.mirrored())):
        at = station_in(each, which.name)
        exposure = expose(at, Placement(lingual_mm=4.0), Aim(ring_offset_deg=4.0, vertical_deg=5.0))
        grid = ReceptorGrid.covering(width_mm=41.0, height_mm=31.0, pixel_mm=COARSE_MM)
        films.append(film_lengths(exposure, film_mouth_in(at), grid).lengths_mm)
    difference = np.abs(films[0] - films[1][:, :, ::-1])
    # Pixel centres mirror exactly, edges of triangles within rounding: all but silhouettes agree.
    assert np.quantile(difference, 0.98) < 0.01


def test_the_word_simulated_is_in_the_picture_and_in_the_data() -> None:
    at = station_of()
    exposure = expose(at, Placement(lingual_mm=4.0), Aim(vertical_deg=5.0))
    film = predicted_film(exposure, film_mouth_of(), pixel_mm=0.1)
    assert film.provenance["simulated"] == "true"
    assert film.provenance["mouth"] == "standard mouth"
    plain = np.full(film.pixels.shape, 30_000, dtype=np.uint16)
    changed = with_label(plain) != plain
    assert 0.001 < changed.mean() < 0.02
    assert (film.pixels[changed] == with_label(plain)[changed]).all()


def test_same_seed_same_film_and_other_threads_the_same() -> None:
    at = station_of()
    exposure = expose(at, Placement(lingual_mm=4.0), Aim(vertical_deg=5.0))
    mouth = film_mouth_of()
    one, two, three = (
        predicted_film(
            exposure, mouth, pixel_mm=COARSE_MM, generator=np.random.default_rng(seed)
        ).pixels
        for seed in (5, 5, 6)
    )
    assert (one == two).all()
    assert (one != three).mean() > 0.5


@pytest.mark.parametrize("tube", ["round-200", "rectangular-300"])
def test_a_tube_slid_aside_cuts_the_field_where_landmarks_are_cut(tube: str) -> None:
    at = station_of("right-premolar", "film-2", "ring-holder", tube)
    exposure = expose(at, Placement(lingual_mm=4.0), Aim(tube_forward_mm=22.0))
    grid = ReceptorGrid.covering(width_mm=41.0, height_mm=31.0, pixel_mm=0.1)
    mask = beam_mask(exposure, grid)
    assert mask.min() == 0.0
    assert mask.max() == 1.0
    landmarks, _ = project(exposure, targets(at.outlines, at.region))
    inside = landmarks.frame_margin_mm[0] > 0.3
    columns = np.clip(
        np.round((landmarks.points_receptor[0, :, 0] - grid.first_u_mm) / 0.1), 0, grid.columns - 1
    ).astype(int)
    rows = np.clip(
        np.round((landmarks.points_receptor[0, :, 1] - grid.first_v_mm) / 0.1), 0, grid.rows - 1
    ).astype(int)
    sure = inside & (np.abs(landmarks.beam_margin_mm[0]) > 0.5)
    assert sure.sum() > 20
    lit = mask[rows[sure], columns[sure]] > 0.5
    assert (lit == (landmarks.beam_margin_mm[0, sure] > 0)).all()


GRID = ReceptorGrid.covering(width_mm=41.0, height_mm=31.0, pixel_mm=0.2)


@pytest.mark.slow
def test_removing_a_lesion_changes_only_its_shadow() -> None:
    base = standard_mouth()
    part = ToothPart(kind="caries", surface="distal", depth="outer-dentine")
    carious = replace(base, teeth={**base.teeth, 15: replace(base.teeth[15], parts=(part,))})
    shares = []
    for mouth in (base, carious):
        at = station_in(mouth, "right-premolar", "plate-2")
        exposure = expose(at, Placement(lingual_mm=3.0), Aim(vertical_deg=4.0))
        made = film_mouth_in(at)
        shares.append(film_lengths(exposure, made, GRID).lengths_mm)
    changed = np.abs(shares[1] - shares[0]) > 1e-4
    lesion = {ShellGroup.CARIOUS_ENAMEL, ShellGroup.CARIOUS_DENTINE}
    for group in ShellGroup:
        assert changed[group].any() == (group in lesion), group.name
    rows, columns = np.nonzero(changed[ShellGroup.CARIOUS_DENTINE])
    assert np.ptp(rows) * GRID.pixel_mm < 6.0
    assert np.ptp(columns) * GRID.pixel_mm < 5.0


class _Watch:
    """Counts what begins; refuses at the one with a number, and from then on."""

    def __init__(self, refused_at: int | None = None) -> None:
        self.doing: list[str] = []
        self.refused_at = refused_at

    def begin(self, doing: str) -> None:
        self.doing.append(doing)
        if self.refused_at is not None and len(self.doing) > self.refused_at:
            raise StoppedError("The film")


@pytest.mark.slow
def test_a_film_can_be_stopped_in_every_stage_of_it() -> None:
    exposure = expose(station_of(), Placement(), Aim())
    mouth = film_mouth_of()
    whole = _Watch()
    film = predicted_film(exposure, mouth, pixel_mm=0.1, begin=whole.begin)
    assert (film.pixels == predicted_film(exposure, mouth, pixel_mm=0.1).pixels).all()
    stages = list(dict.fromkeys(whole.doing))
    assert stages == ["the rays' ways", "the bone's texture", "the spectrum", "the picture"]
    for stage in stages:
        watch = _Watch(whole.doing.index(stage))
        with pytest.raises(StoppedError):
            predicted_film(exposure, mouth, pixel_mm=0.1, begin=watch.begin)
        assert watch.doing[-1] == stage, "nothing goes on after it"
    assert min(whole.doing.count(stage) for stage in stages[:3]) >= 8, "often enough in each"
