"""The figures on films for docs/independent-anatomy.md: explained on anatomy of others.

They take ten minutes or so on one core, so `independent_anatomy_page` makes them anew only when
asked to.
"""

from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from bitewright.explanation.correction import Part
from bitewright.mouth.open_direction import box_middle
from bitewright.mouth.tooth_forms import tooth_form
from bitewright.quality.views import view
from trials.compare_anatomy import read_teeth
from trials.judged import explained, judged
from trials.known_films import Equipment, KnownFilm, known_film, strange_mouth
from trials.needed_swing import (
    OpenTogether,
    SwingJudged,
    SwingScore,
    azimuth_deg,
    swing_judged,
    without_marks,
)
from trials.project_meshes import mesh_targets, towards_midline
from trials.scanned_films import ScannedView, scanned_film, scanned_view
from trials.scanned_teeth import ScannedTeeth, scanned_teeth

ATLAS, SCAN = "real/atlas_teeth_ccbysa/teeth_mm", "real/scan_crowns_mit/subject_0"
BESIDE = (43, 44)
FILMS, HELD_OUT, FOR_WHY = 16, 30, 8
RIGHT = ("right-premolar", "right-molar")
HELD_OUT_MOUTHS = "held-out mouths"

BUCCAL_LINGUAL = (
    ("buccal", "lingual"),
    ("buccal", "mesiolingual"),
    ("mesiobuccal", "mesiolingual"),
    ("distobuccal", "distolingual"),
)
FILMS_HEADING = "## Films of them, explained"

HOW = """
What an explanation says of films of these teeth whose exposure is known. The receptor is seated in
outlines of the teeth's sizes, since meshes tell nothing of palate and floor. The tube is up to 20
degrees either way from the best, vertical angle and placement are off as well. The meshes' own
silhouettes are marked in perspective: contacts in the row where they overlap most, free surfaces
where they reach furthest, cusp tips where a crown comes nearest the occlusal plane; with 0.15 mm
noise and a pixel size off by 1%. Junctions of enamel and root and bone crests are not marked: the
data has none. The swing needed leads to where the planner's own measure is best with the meshes'
overlaps, all else being the outlines'; crowns that reach into one another at best count from there.
Beside it, "by the worst contact": the swing to where the worst of the view's contacts overlaps
least above its own least, which asks no planner.

Below them the mouths the estimate was made for, drawn from the population with terms it does not
model, with the same kinds of marks and judged by their worst contact; in the last row by the
planner's best exposure. Errors of the swing in degrees, the mean positive where too much to the
front is told; direction where more than 5 degrees are needed; how often the 90% interval covers the
swing needed; how often the person is told the direction alone, because marks or mouth are unlike
those it was made for; how much more the worst contact overlaps than at best, before and after doing
as told, median, in mm. Nothing of the atlas or the person went into the estimate, its prior, its
allowances or its intervals.
"""

WHY = """
Why: mean error, and in brackets median size, of the first 8 films of each view, in degrees; with
contacts marked as if crowns just touched; and without cusps. "Sizes known" needs no film: where
outlines of the teeth's own sizes and arches are open together, less where the teeth are.
"""

FOUND = """
- **The atlas' intervals hold, the person's still do not**: every film of the atlas against 77% of
  the person's, where nine in ten are meant; its right molar view alone is told as well as
  our own mouths. Intervals hold what outlines leave out of real crowns' best aim, as measured on a
  population's crowns: this person's leave out more. The premolar views and the left molar view are
  told 6 to 7 degrees too far to the front, and only seven of the person's 64 films, and none of the
  atlas', say that they are unlike what the estimate was made for.
- **Of the right premolar view not even the direction is safe**: it is wrong for three films in ten
  that need more than 5 degrees, and one in four cannot tell. What the best aim is there hangs on
  what one asks: the planner's own measure gives 43-44, open 80 degrees in front, up for lost, the
  worst contact does not.
- Cusps stand otherwise than standard crowns have them: along the row, buccal cusps lie {atlas} mm
  (atlas) and {person} mm (person; root mean square) from there against lingual ones, turned teeth
  included. The estimate allows for it what the population's crowns do. Without cusps the person's
  left views' errors shrink; the atlas' premolar view's and the person's right molar view's grow.
  To expect cusps where the population's crowns have theirs on average, by the cusp, was tried on
  these films and left: the atlas' median error grew from 2.7 to 3.5 degrees, and the person's
  intervals held 70%.
- A swing was told as needed on 43 of the person's 64 films and on 19 of the atlas' 32, on none of
  them the wrong way.
- That crowns reach into one another or stand apart matters little.
- Crown sizes and arches, even if known, leave the direction off by up to 13 degrees: crowns' own
  outlines and teeth out of line, as in the tables above.
- Not every cusp is a separate tip: of the person's 17, 27, 36 and 37 some have none and are not
  marked. The person's jaws are set to where the outlines have them, as the bite is not known. Films
  of one view share their teeth, so their errors hang together; slips are the same in every view.
"""
FILMS_HEADING = "## Films of them, explained"

HEAD = (
    "films of",
    "view",
    "films",
    "median",
    "90th percentile",
    "mean",
    "direction right",
    "covered",
    "median, by the worst contact",
    "covered, by the worst contact",
    "cannot tell",
    "direction alone",
    "before",
    "after",
)
WHY_HEAD = ("films of", "view", "as they are", "contacts touching", "contacts only", "sizes known")
Make = Callable[[ScannedView, np.random.Generator], KnownFilm]


def film_section(figures: str, atlas: ScannedTeeth, scan: ScannedTeeth) -> str:
    """The page's section: words, and both tables of `film_figures` in their places."""
    errors, why = figures.split("\n\n")
    shifts = [f"{cusp_shift_rms_mm(teeth):.1f}" for teeth in (atlas, scan)]
    found = FOUND.format(atlas=shifts[0], person=shifts[1])
    return f"{FILMS_HEADING}\n{HOW}\n{errors}\n{WHY}\n{why}\n{found}"


def cusp_shift_rms_mm(teeth: ScannedTeeth) -> float:
    """How far buccal cusps lie along the row from lingual ones, against standard crowns. [mm]"""
    off = []
    for name in (RIGHT[0], "left-premolar"):
        of = mesh_targets(teeth, view(name).region)
        middles = {code: box_middle(teeth.crown_points(code)) for code in teeth.meshes}
        for code in of.crowns:
            along = towards_midline(middles, code)
            width = float(np.ptp(teeth.crown_points(code) @ along))
            usual = tooth_form(code).cusps
            for buccal, lingual in BUCCAL_LINGUAL:
                names = [f"{code}.{cusp}.cusp" for cusp in (buccal, lingual)]
                if all(each in of.cusps_mouth for each in names):
                    there = (of.cusps_mouth[names[0]] - of.cusps_mouth[names[1]]) @ along
                    off.append(there - (usual[buccal][0] - usual[lingual][0]) * width)
    return float(np.sqrt(np.mean(np.square(off))))


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmedView:
    """One view of one dentition, or of held-out mouths, whose films are explained."""

    whose: str
    view: str
    leaving_out: tuple[tuple[int, int], ...] = ()

    @property
    def said(self) -> str:
        """As the tables name it."""
        out = "".join(f", without {front}-{back}" for front, back in self.leaving_out)
        return f"{words(self.view)}{out}"


FILMED = (
    *(FilmedView(whose="atlas", view=name) for name in RIGHT),
    *(FilmedView(whose="person", view=name) for name in (*RIGHT, "left-premolar", "left-molar")),
    FilmedView(whose="person", view=RIGHT[0], leaving_out=(BESIDE,)),
    *(FilmedView(whose=HELD_OUT_MOUTHS, view=name) for name in RIGHT),
)


def film_figures(shared: Path, *, processes: int = 1) -> list[str]:
    """Both tables as Markdown lines, a blank line between them."""
    rows, why = [], []
    every: dict[str, list[SwingJudged]] = {}
    planned: list[SwingJudged] = []
    with ProcessPoolExecutor(processes) as pool:
        asked = [pool.submit(_filmed, shared, each) for each in FILMED]
        for each, answer in zip(FILMED, asked, strict=True):
            scored, by_planner, reasons = answer.result()
            rows.append(score_row(each.whose, each.said, scored))
            planned += by_planner
            if not each.leaving_out:
                every.setdefault(each.whose, []).extend(scored)
                why += reasons
    rows += [score_row(whose, "all", scored) for whose, scored in every.items()]
    rows.append(score_row(HELD_OUT_MOUTHS, "all, by the planner", planned))
    return [*lines(HEAD, rows), "", *lines(WHY_HEAD, why)]


def _filmed(
    shared: Path, asked: FilmedView
) -> tuple[list[SwingJudged], list[SwingJudged], list[list[str]]]:
    """Films of one view judged by contacts, by the planner too, and the lines that say why."""
    if asked.whose == HELD_OUT_MOUTHS:
        return (*held_out_judged(asked.view, HELD_OUT), [])
    is_atlas = asked.whose == "atlas"
    of = scanned_view(
        scanned_teeth(read_teeth(shared / (ATLAS if is_atlas else SCAN))),
        view(asked.view),
        Equipment.usual(),
        jaws_related=is_atlas,  # the person's bite is not known
        leaving_out=asked.leaving_out,
    )
    scored = films_judged(of, FILMS)
    reasons = [] if asked.leaving_out else [why_row(asked.whose, asked.said, of, scored)]
    return scored, [], reasons


def films_judged(of: ScannedView, count: int, make: Make = scanned_film) -> list[SwingJudged]:
    """Films of one view, the same slips in every view, each explained and judged."""
    found = []
    for number in range(count):
        generator = np.random.default_rng([2, number])
        film = make(of, generator)
        found.append(swing_judged(film, explained(film, generator), of.open))
    return found


def held_out_judged(name: str, count: int) -> tuple[list[SwingJudged], list[SwingJudged]]:
    """Films of held-out mouths through outlines, marked alike; judged alike, and by the planner."""
    found, planned = [], []
    for number in range(count):
        generator = np.random.default_rng([3, RIGHT.index(name), number])
        film = known_film(strange_mouth(generator), view(name), Equipment.usual(), generator)
        film = without_marks(film, "cej", "crest")
        said = explained(film, generator)
        found.append(swing_judged(film, said, OpenTogether.of_plan(film.best)))
        whole = judged(film, said)
        planned.append(
            replace(
                found[-1],
                needed_deg=whole.true[Part.SWING],
                covered=whole.covered[Part.SWING],
            )
        )
    return found, planned


def score_row(whose: str, name: str, scored: list[SwingJudged]) -> list[str]:
    """One line of the first table."""
    score = SwingScore.of(scored)
    return [
        whose,
        name,
        str(score.n),
        f"{score.median_deg:.1f}",
        f"{score.p90_deg:.1f}",
        f"{score.mean_deg:+.1f}",
        f"{score.right_share:.0%}",
        f"{score.covered_share:.0%}",
        f"{score.worst_median_deg:.1f}",
        f"{score.worst_covered_share:.0%}",
        f"{score.cannot_tell_share:.0%}",
        f"{score.unlike_share:.0%}",
        f"{score.before_mm:.2f}",
        f"{score.after_mm:.2f}",
    ]


def why_row(whose: str, name: str, of: ScannedView, scored: list[SwingJudged]) -> list[str]:
    """One line of the second table: mean error and median size, of the same slips."""
    touching = films_judged(of, FOR_WHY, lambda a, b: scanned_film(a, b, touching=True))
    contacts = films_judged(of, FOR_WHY, lambda a, b: without_marks(scanned_film(a, b), "cusp"))
    sizes = azimuth_deg(of.plan, of.plan.exposure) - of.open.best_deg
    scores = [SwingScore.of(each) for each in (scored[:FOR_WHY], touching, contacts)]
    told = [f"{score.mean_deg:+.1f} ({score.median_deg:.1f})" for score in scores]
    return [whose, name, *told, f"{sizes:+.1f}"]


def words(name: str) -> str:
    """A view's name in words."""
    return name.replace("-", " ")


def lines(head: tuple[str, ...], rows: list[list[str]]) -> list[str]:
    """A table whose first two columns are words."""
    ruled = ["---", "---", *["---:"] * (len(head) - 2)]
    return [f"| {' | '.join(row)} |" for row in (list(head), ruled, *rows)]
