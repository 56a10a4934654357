"""Why a criterion came out as it did, in one sentence that agrees with the figures beside it."""

from dataclasses import replace

import pytest

from bitewright.exposing.landmarks import Status
from bitewright.quality.criteria import CriterionName, criteria
from bitewright.quality.findings import Finding
from bitewright.quality.rating import Outcome
from bitewright.words.reasons import NEEDS, reason


def found(
    name: CriterionName,
    value: float | None,
    outcome: Outcome,
    place: str | None = None,
    sd: float | None = None,
) -> Finding:
    return Finding(criterion=criteria()[name], outcome=outcome, value=value, sd=sd, place=place)


@pytest.mark.parametrize(
    ("finding", "said"),
    [
        (
            found(CriterionName.CONTACTS_OPEN, 0.12, Outcome.SHORT, "46-47"),
            "The widest overlap is 0.12 mm, at 46-47: short of the target, at most 0.10 mm.",
        ),
        (
            replace(found(CriterionName.CONTACTS_OPEN, 0.68, Outcome.SHORT, "43-44"), needed=False),
            (
                "The widest overlap is 0.68 mm, at 43-44, which this question does not need: "
                "short of the target, at most 0.10 mm."
            ),
        ),
        (
            found(CriterionName.CONTACTS_OPEN, -0.2, Outcome.MET, "46-47", 0.1),
            "The narrowest space is 0.20 ± 0.10 mm, at 46-47: target met.",
        ),
        (
            found(CriterionName.CONTACTS_OPEN, 0.7, Outcome.FAILED, "46-47"),
            "The widest overlap is 0.70 mm, at 46-47: failed, too wide to be read.",
        ),
        (
            found(CriterionName.CONTACTS_SHOWN, 4.4, Outcome.MET, "45-46"),
            "45-46, nearest to the edge of the image, lies 4.4 mm inside it: target met.",
        ),
        (
            found(CriterionName.CANINE_DISTAL, -1.0, Outcome.FAILED, "13.distal"),
            "13 distal is off the image: failed.",
        ),
        (
            found(CriterionName.CREST, 0.9, Outcome.SHORT, "45.distal"),
            (
                "The least bone beyond a crest is 0.9 mm, at 45 distal: short of the target, at "
                "least 1.0 mm."
            ),
        ),
        (
            found(CriterionName.CREST, 2.0, Outcome.UNKNOWN, "45.distal"),
            (
                "The least bone beyond a crest is 2.0 mm, at 45 distal: cannot tell yet, as not "
                "every bone crest is marked."
            ),
        ),
        (
            found(CriterionName.LEVEL, -16.0, Outcome.FAILED),
            (
                "The occlusal plane slopes 16.0 degrees, its front end higher: failed, for the "
                "limit is 15.0 degrees."
            ),
        ),
        (
            found(CriterionName.LEVEL, 0.02, Outcome.MET),
            "The occlusal plane slopes 0.0 degrees: target met.",
        ),
        (
            found(CriterionName.CENTRAL, -0.7, Outcome.MET),
            "The occlusal plane lies 0.7 mm above the middle of the image: target met.",
        ),
        (
            found(CriterionName.CLOSURE, -0.7, Outcome.MET, sd=0.4),
            (
                "The teeth are closed on the bite block, measured 0.7 ± 0.4 mm nearer than it is "
                "thick: target met."
            ),
        ),
    ],
)
def test_a_reason_tells_the_fact_and_how_it_came_out(finding: Finding, said: str) -> None:
    assert reason(finding) == said


def test_a_cone_cut_says_which_edge_it_takes_or_what_would_tell() -> None:
    beam = CriterionName.BEAM
    assert reason(found(beam, -9.3, Outcome.SHORT, "front")) == (
        "The beam misses 9.3 mm at the front edge of the receptor, a cone cut: short of the target."
    )
    assert reason(found(beam, 2.3, Outcome.MET, "back-upper")) == (
        "The beam covers the whole receptor, with 2.3 mm to spare at its upper back corner: target "
        "met."
    )
    assert reason(found(beam, None, Outcome.SHORT)) == (
        "A cone cut was seen: mark its edge to tell how much it hides."
    )


def test_what_a_film_does_not_show_is_off_it_cut_off_or_hidden() -> None:
    gone = found(CriterionName.CREST, -1.0, Outcome.FAILED, "45.distal")
    assert reason(gone) == "The bone crest at 45 distal is off the image: failed."
    for status, word in ((Status.CUT, "cut off by the beam"), (Status.HIDDEN, "hidden")):
        said = reason(replace(gone, status=status))
        assert said == f"The bone crest at 45 distal is {word}: failed."


@pytest.mark.parametrize("name", list(CriterionName))
def test_what_is_not_known_is_asked_for(name: CriterionName) -> None:
    told = reason(found(name, None, Outcome.UNKNOWN))
    if name is CriterionName.CLOSURE:
        assert told == (
            "Cannot tell without both the holder's name and marks on the cusps of both jaws."
        ), "true whether or not the holder is named already"
    else:
        assert told == f"Cannot tell without {NEEDS[name]}."
