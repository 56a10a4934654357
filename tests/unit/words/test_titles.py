"""Titles: every name has one, none is the name itself, no two alike; own things have their own."""

import re
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

import pytest

from bitewright.audit.counted_by import Dimension
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.entries import entry_from_mapping, entry_to_mapping
from bitewright.equipment.receptors import Receptor
from bitewright.explanation.correction import CauseName, Verdict
from bitewright.exposing.scatter import AimPart
from bitewright.log.faults import fault_kinds
from bitewright.quality.criteria import Question, criteria
from bitewright.quality.questions import questions
from bitewright.quality.rating_schemes import rating_schemes
from bitewright.quality.views import view, view_names
from bitewright.words.landmarks import landmark_title, place_title
from bitewright.words.log_titles import group_title, label_title, rating_title, view_title
from bitewright.words.marking import WHERE_A_MARK_GOES
from bitewright.words.titles import AIM_PARTS, CAUSES, VERDICTS
from bitewright.words.verdicts import OUTCOME_SIGNS, OUTCOME_WORDS, STATE_SIGNS, STATE_WORDS

TOP = Path(__file__).resolve().parents[3]
KNOWN = packaged_catalogue()
TITLES: dict[str, Mapping[str, str]] = {
    "views": {name: view(name).title for name in view_names()},
    "criteria": {name: each.title for name, each in criteria().items()},
    "schemes": {name: each.title for name, each in rating_schemes().items()},
    "faults": {name: each.title for name, each in fault_kinds().items()},
    "receptors": {name: each.title for name, each in KNOWN.receptors.items()},
    "holders": {name: each.title for name, each in KNOWN.holders.items()},
    "tubes": {name: each.title for name, each in KNOWN.tubes.items()},
    "questions": {name: questions()[name].title for name in Question},
    "causes": {name: CAUSES[name] for name in CauseName},
    "verdicts": {name: VERDICTS[name] for name in Verdict},
    "parts of an aim": {name: AIM_PARTS[name] for name in AimPart},
}


@pytest.mark.parametrize("kind", TITLES)
def test_every_name_has_a_title_of_its_own_that_is_no_code(kind: str) -> None:
    titles = TITLES[kind]
    assert len(set(titles.values())) == len(titles), "two names would look the same"
    for name, title in titles.items():
        assert title.strip(), name
        assert "_" not in title, name
        assert "-" not in name or name not in title, name


def test_ones_own_entry_is_shown_by_its_title_or_its_name_with_spaces() -> None:
    own = entry_to_mapping(KNOWN.receptor("sensor-2")) | {"name": "our-old-sensor"}
    assert entry_from_mapping(Receptor, own | {"title": "old sensor"}).title == "old sensor"
    del own["title"]
    made = entry_from_mapping(Receptor, own)
    assert made.title == "our old sensor"
    assert entry_to_mapping(made) == own, "a file says no more than it was given"


def test_a_label_of_the_log_is_shown_by_the_title_of_what_it_names() -> None:
    assert label_title(Dimension.VIEW, "left-molar-vertical") == "vertical left molar"
    assert label_title(Dimension.RECEPTOR, "plate-2") == "size 2 plate"
    assert label_title(Dimension.HOLDER, "ring-holder") == "ring holder"
    assert label_title(Dimension.RECEPTOR, "sensor of room-2") == "sensor of room-2"
    assert label_title(Dimension.ROOM, "plate-2") == "plate-2", "a room's name is people's own"
    assert view_title("periapical") == "periapical"
    assert rating_title("uk-2020:A") == "A (UK 2020)"
    assert rating_title("own-school:fair") == "fair (own school)"


def test_a_group_of_several_dimensions_is_shown_part_by_part() -> None:
    assert group_title("view and room", "right-molar, R-2") == "right molar, R-2"
    assert group_title("room", "right-molar") == "right-molar"
    assert group_title("month", "2026-01") == "2026-01"


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("14.distal", "14 distal"),
        ("15.mesial.crest", "15 mesial crest"),
        ("46.mesiobuccal.cusp", "46 mesiobuccal cusp"),
        ("13.tip.cusp", "13 cusp tip"),
        ("12.edge.cusp", "12 edge"),
    ],
)
def test_a_landmark_is_shown_without_dots(name: str, title: str) -> None:
    assert landmark_title(name) == title
    assert place_title(name) == title
    assert place_title("15-16") == "15-16", "people name contacts so"


def test_every_state_and_outcome_has_a_word_and_a_sign_of_its_own() -> None:
    for words, signs in ((STATE_WORDS, STATE_SIGNS), (OUTCOME_WORDS, OUTCOME_SIGNS)):
        assert words.keys() == signs.keys()
        assert len(set(words.values())) == len(words)
        assert len(set(signs.values())) == len(signs)


def test_the_pages_have_the_same_signs() -> None:
    text = (files("bitewright.web") / "static" / "signs.js").read_text("utf-8")
    said = dict(re.findall(r'^  "?([a-z ]+)"?: \["([^"]+)"', text, flags=re.MULTILINE))
    ours = {STATE_WORDS[each]: sign for each, sign in STATE_SIGNS.items()}
    ours |= {OUTCOME_WORDS[each]: sign for each, sign in OUTCOME_SIGNS.items()}
    assert said == ours


def test_the_page_of_marks_says_of_each_kind_what_the_program_says() -> None:
    page = (TOP / "docs" / "marks-format.md").read_text("utf-8")
    for sentence in WHERE_A_MARK_GOES.values():
        assert f"| {sentence} |" in page
    assert "](../src/bitewright/web/static/light_box/where_marks_go.png)" in page
