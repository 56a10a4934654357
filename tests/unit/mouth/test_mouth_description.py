"""Mouth descriptions: save and load are identities, bad ones get one clear sentence."""

import json
from dataclasses import replace
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator

from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.invented_mouths import invented_mouth, invented_mouths
from bitewright.mouth.mouth import CurveKind, MouthValueError
from bitewright.mouth.mouth_description import (
    MOUTH_FORMAT,
    MouthDescriptionError,
    mouth_from_description,
    mouth_to_description,
)
from bitewright.mouth.standard_mouth import standard_mouth


@pytest.mark.parametrize("seed", range(4))
def test_description_gives_the_mouth_back(seed: int) -> None:
    mouth = drawn_mouth(seed)
    teeth = {code: tooth for code, tooth in mouth.teeth.items() if code != 24}
    teeth[46] = replace(teeth[46], present=False)
    mouth = replace(mouth, teeth=teeth, upper=replace(mouth.upper, curve=CurveKind.POLYNOMIAL))
    again = mouth_from_description(mouth_to_description(mouth))
    assert again.teeth == mouth.teeth
    assert again.upper == mouth.upper
    assert mouth_from_description(mouth_to_description(again)) == again


def test_short_description_is_the_standard_mouth() -> None:
    assert mouth_from_description({"format": MOUTH_FORMAT}) == standard_mouth()


def test_absent_tooth_keeps_its_space() -> None:
    mouth = mouth_from_description({"format": MOUTH_FORMAT, "absent": [46]})
    assert not mouth.teeth[46].present


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"format": "bitewright.mouth/9"}, "format is 'bitewright.mouth/9'"),
        ({"teeth": {"19": {}}}, "teeth.19 is '19'"),
        ({"teeth": {"16": {"width": 3}}}, "teeth.16 is 'width'"),
        ({"teeth": {"16": 3}}, "teeth.16 is 3"),
        ({"contacts": {"16-15": {}}}, "contacts is '16-15'"),
        ({"upper": {"curve": "spline"}}, "upper.curve is 'spline'"),
        ({"absent": 46}, "absent is 46"),
        ({"third_molars": "yes"}, "third_molars is 'yes'"),
        ({"colour": "blue"}, "field is 'colour'"),
    ],
)
def test_bad_descriptions_say_where(change: dict[str, object], said: str) -> None:
    with pytest.raises(MouthDescriptionError, match=said.replace(".", r"\.")):
        mouth_from_description({"format": MOUTH_FORMAT, **change})


def test_nan_is_refused_with_its_range() -> None:
    content = {"format": MOUTH_FORMAT, "upper": {"width_mm": float("nan")}}
    with pytest.raises(MouthValueError, match=r"upper arch width_mm is nan, .* from 30 to 90 mm"):
        mouth_from_description(content)


@pytest.mark.parametrize("name", [*invented_mouths(), None])
def test_every_description_fits_the_shipped_schema(name: str | None) -> None:
    mouth = standard_mouth() if name is None else invented_mouth(name)
    text = (files("bitewright.files") / "schemas" / "mouth-1.json").read_text("utf-8")
    description = json.loads(json.dumps(mouth_to_description(mouth)))
    Draft202012Validator(json.loads(text)).validate(description)


def test_age_and_wear_come_back_and_have_limits() -> None:
    content = {"format": "bitewright.mouth/1", "age_years": 70, "teeth": {"16": {"wear_mm": 0.6}}}
    mouth = mouth_from_description(content)
    assert (mouth.age_years, mouth.teeth[16].wear_mm) == (70, 0.6)
    assert mouth_from_description(mouth_to_description(mouth)) == mouth
    for wrong in ({"age_years": 7}, {"teeth": {"16": {"wear_mm": 1.4}}}):
        with pytest.raises(MouthValueError):
            mouth_from_description(content | wrong)
