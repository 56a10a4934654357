"""Limits that a page states are those that the program goes by.

Each is a constant or stands in a packaged table; when one is chosen anew, its page says so too.
"""

import tomllib
from typing import Any

import pytest

from bitewright.audit.alarm import ALARM, FEWEST_FOR_ALARM
from bitewright.audit.audit_calendar import SOON_DAYS
from bitewright.audit.dose_side import SAME_KV
from bitewright.audit.proportions import FEWEST as FEWEST_EXPOSURES
from bitewright.audit.unexplained_change import DRAWS as RECORDS_DRAWN
from bitewright.audit.whole_audit import FAMILY_CHANCE
from bitewright.competence import judging, school_bar
from bitewright.explanation import chairside_questions as asked
from bitewright.explanation import likely_causes, next_exposure, quick_reading
from bitewright.explanation.correction import Part
from bitewright.explanation.needs import WORTH
from bitewright.keeping.leftovers import REMEMBERED_S
from bitewright.marking import crown_edge, rating_chances
from bitewright.marking.raw_image import MOST_PIXELS
from bitewright.planning import odds, plan_by_odds
from bitewright.proposing.several_films import LONGEST
from bitewright.sheets import questions
from bitewright.tasks.assess.decoded_film import MOST_FILM_BYTES
from bitewright.tasks.assess.explain_film import FEWEST_MARKS
from bitewright.tasks.propose import borders
from bitewright.visit import ledger, recall
from bitewright.visit import odds as gate_odds
from bitewright.web.pages.light_box import MOST_UPLOAD_BYTES
from bitewright.web.sessions import DAY_S, LASTS_S, LINK_LASTS_S, Kind
from tests.repository.page_tables import prose, said
from tests.repository.sources import PACKAGE

LIGHT_BOX = "docs/light-box.md"
EXPLAIN = "docs/explain.md"
PROPOSED = "docs/proposed-marks.md"
RATINGS = "docs/ratings.md"

SIMULATED_PERSON = (
    "a gap between rim and ring from # degrees on, whatever was meant; an edge elsewhere than "
    "meant from # mm, a receptor high or low in its holder from # mm, not level from # degrees, "
    "teeth off the block from # mm"
)
SEEN_FROM = [asked.GAP_DEG, asked.EDGE_MM, asked.SET_MM, asked.LEVEL_DEG, asked.BITE_MM]

LIMITS = [
    (LIGHT_BOX, "Grey films of 8 to 16 bits and at most # million pixels", [MOST_PIXELS / 1e6]),
    ("docs/dicom-conformance.md", "grey frame of at most # million pixels", [MOST_PIXELS / 1e6]),
    (
        LIGHT_BOX,
        "A file is at most # MB here and # MB on the command line",
        [MOST_UPLOAD_BYTES >> 20, MOST_FILM_BYTES >> 20],
    ),
    (LIGHT_BOX, "with a chance of at least #% would still", [100 * quick_reading.SURE_ENOUGH]),
    (
        LIGHT_BOX,
        "expected to show at least # points of a hundred more",
        [100 * quick_reading.CLEAR_GAIN],
    ),
    (LIGHT_BOX, "in a strip of # mm height", [2 * crown_edge.HALF_STRIP_MM]),
    (LIGHT_BOX, "- at least # times the standard error", [crown_edge.LEAST_TIMES_NOISE]),
    (LIGHT_BOX, "twice the next edge within # mm", [crown_edge.SEARCH_MM]),
    (
        LIGHT_BOX,
        "- narrow, at most # mm wide, and standing out by #%",
        [crown_edge.MOST_WIDTH_MM, 100 * crown_edge.LEAST_STANDING_OUT],
    ),
    (
        EXPLAIN,
        "than setting up anew (by # points of a hundred or more",
        [100 * next_exposure.WORTH_TELLING],
    ),
    (EXPLAIN, "From a chance of #% on the first cause", [100 * likely_causes.SURE]),
    (
        EXPLAIN,
        "(# degrees of the swing, # of the vertical angle, # mm along the row)",
        [WORTH[part] for part in (Part.SWING, Part.VERTICAL, Part.FORWARD)],
    ),
    (PROPOSED, "shorter than # times its height", [LONGEST]),
    (PROPOSED, "on films of pixels up to # mm", [borders.FINE_MM]),
    (PROPOSED, "states a spread of # mm at least", [borders.NO_BORDER_MM]),
    (PROPOSED, "with a sure border more than # mm away", [borders.FARTHEST_MM]),
    ("docs/explain-accuracy.md", SIMULATED_PERSON, SEEN_FROM),
    ("docs/recall.md", "lies within # mm either way (our choice)", [recall.COMPARABLE_MM]),
    ("docs/recall.md", "anywhere within # mm to the cheek", [recall.CREST_DEPTH_MM]),
    ("docs/visit.md", "it is at least #% likely", [100 * ledger.SURE]),
    ("docs/visit.md", "counted over # drawn exposures", [gate_odds.DRAWS]),
    (RATINGS, "each measurement is drawn # times", [rating_chances.DRAWS]),
    (RATINGS, "| this mouth | # exposures in the mouth", [odds.DRAWS]),
    (RATINGS, "half of the calmer kind, # exposures in each", [odds.DRAWS_OF_EACH]),
    (
        RATINGS,
        "with the same # slips, and of those within # points of the best",
        [plan_by_odds.DRAWS, 100 * plan_by_odds.TIE],
    ),
    (RATINGS, "told where it would add # points", [100 * plan_by_odds.WORTH_LEAVING]),
    (
        "docs/competence.md",
        "from a chance of #%, *not yet* up to #%, and neither from fewer than # exercises",
        [100 * judging.SURE, 100 * (1 - judging.SURE), judging.FEWEST],
    ),
    ("docs/competence.md", "of a person's answers to a skill the newest #.", [judging.NEWEST]),
    ("docs/competence.md", "bar: a mean score of #, or what", [school_bar.BAR]),
    ("docs/audit-methods.md", "Fewer than # exposures: too few", [FEWEST_EXPOSURES]),
    ("docs/audit-methods.md", "# simulated records without a change", [RECORDS_DRAWN]),
    ("docs/audit-methods.md", "own share of chance, #%", [100 * FAMILY_CHANCE / 4]),
    ("docs/audit-calendar.md", "within # days (our choice)", [SOON_DAYS]),
    ("docs/audit-calendar.md", "(within # kV, our choice)", [SAME_KV]),
    ("docs/keeping.md", "when it is back, within # days", [REMEMBERED_S / DAY_S]),
]

IN_WORDS = [
    (LIGHT_BOX, "From six marks on the film", FEWEST_MARKS == 6),
    (LIGHT_BOX, "for one browser, within twelve hours", LINK_LASTS_S == 0.5 * DAY_S),
    (LIGHT_BOX, "stays so for thirty days", LASTS_S[Kind.OWN] == 30 * DAY_S),
    (LIGHT_BOX, "last twelve hours at most", LASTS_S[Kind.CLASS] == 0.5 * DAY_S),
    (EXPLAIN, "One answer in ten is taken for wrong", asked.WRONG == 0.1),
    (EXPLAIN, "of tubes off, one in four is taken to be", asked.TURNED_INSTEAD == 0.25),
    ("docs/audit-methods.md", "lies above a quarter (our choice)", ALARM == 0.25),
    ("docs/audit-methods.md", "Of fewer than five films none is made", FEWEST_FOR_ALARM == 5),
    ("docs/log-format.md", "five questions at most", questions.MOST == 5),
]


@pytest.mark.parametrize(("page", "sentence", "held"), LIMITS)
def test_a_limit_is_the_programs(page: str, sentence: str, held: list[float]) -> None:
    assert said(page, sentence) == pytest.approx(held)


@pytest.mark.parametrize(("page", "sentence", "holds"), IN_WORDS)
def test_a_limit_in_words_is_the_programs(page: str, sentence: str, *, holds: bool) -> None:
    assert sentence in prose(page)
    assert holds, f"{page} says {sentence!r}, and the program goes by another"


def packaged(name: str) -> dict[str, Any]:
    """A packaged table."""
    return tomllib.loads((PACKAGE / name).read_text(encoding="utf-8"))


def test_stated_hands_are_the_packaged_ones() -> None:
    parts = ("contact_error_deg", "vertical_error_deg", "forward_mm", "height_mm")
    for hand in packaged("planning/tables/stated_hands.toml").values():
        if isinstance(hand, dict):
            row = f"| {hand['title']} | # degree"
            row += "s | # degrees |" if hand["contact_error_deg"] > 1 else " | # degree |"
            told = said(RATINGS, f"{row} # mm | # mm |")
            assert told == [hand[part] for part in parts]


def test_visible_places_are_the_packaged_ones() -> None:
    places = packaged("marking/tables/visible_places.toml")
    told = said(
        "docs/marks-format.md",
        "so its grey ends # mm inside; the bone's corner lies # mm off the root's surface and # "
        "mm below the crest there; a cusp's grey ends # mm short",
    )
    held = [
        -places["edge"]["outward_mm"]["value"],
        places["crest"]["outward_mm"]["value"],
        places["crest"]["rootward_mm"]["value"],
        places["cusp"]["rootward_mm"]["value"],
    ]
    assert told == held


def test_targets_are_the_packaged_ones() -> None:
    scheme = packaged("quality/tables/rating_schemes.toml")["uk-2020"]
    told = said(
        RATINGS,
        "targets: digital A at least #%, N at most #%; film A at least #%, N at most #%",
    )
    held = [*scheme["targets_digital"].values(), *scheme["targets_film"].values()]
    assert told == pytest.approx([100 * share for share in held])
