"""The grammar of landmark names."""

import pytest

from bitewright.mouth.landmark_names import (
    Cusp,
    CuspLandmark,
    Feature,
    Surface,
    SurfaceLandmark,
    UnknownLandmarkError,
    cusps_of,
    parse_landmark,
)
from bitewright.mouth.numbering import ALL_TEETH, ToothName, UnknownToothError
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth

FIFTEEN = ToothName(15)


@pytest.mark.parametrize(
    ("name", "landmark"),
    [
        ("15.mesial", SurfaceLandmark(tooth=FIFTEEN, surface=Surface.MESIAL)),
        (
            "15.distal.crest",
            SurfaceLandmark(tooth=FIFTEEN, surface=Surface.DISTAL, feature=Feature.CREST),
        ),
        ("15.buccal.cusp", CuspLandmark(tooth=FIFTEEN, cusp=Cusp.BUCCAL)),
    ],
)
def test_names_are_read(name: str, landmark: SurfaceLandmark | CuspLandmark) -> None:
    assert parse_landmark(name) == landmark


def test_every_name_in_the_grammar_reads_back() -> None:
    surfaces = [
        SurfaceLandmark(tooth=t, surface=s, feature=f)
        for t in ALL_TEETH
        for s in Surface
        for f in Feature
    ]
    cusps = [CuspLandmark(tooth=t, cusp=c) for t in ALL_TEETH for c in cusps_of(t)]
    for landmark in [*surfaces, *cusps]:
        assert parse_landmark(str(landmark)) == landmark


def test_the_models_own_points_follow_the_grammar() -> None:
    names = [n for n in build_outlines(standard_mouth()).points_mouth if ".apex" not in n]
    assert names
    assert [str(parse_landmark(name)) for name in names] == names


@pytest.mark.parametrize(
    "name",
    [
        *("15", "15.", "15.top", "15.mesial.", "15.mesial.root", "15.buccal", "15.tip.cusp"),
        *("13.cusp", "16.Mesial", "16 .mesial", "16.mesial ", "11.distal.cusp"),
        "15.mesiobuccal.cusp",
    ],
)
def test_other_names_are_refused(name: str) -> None:
    with pytest.raises(UnknownLandmarkError, match=r"\.mesial") as caught:
        parse_landmark(name)
    assert caught.value.given == name


@pytest.mark.parametrize("name", ["19.mesial", "", "mesial", "crest.15"])
def test_a_name_without_a_tooth_is_refused(name: str) -> None:
    with pytest.raises(UnknownToothError):
        parse_landmark(name)
