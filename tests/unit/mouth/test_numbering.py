"""Tooth names: sides, kinds, neighbours and notations."""

from itertools import pairwise

import pytest

from bitewright.mouth.numbering import (
    ALL_TEETH,
    PERMANENT_TEETH,
    PRIMARY_TEETH,
    Arch,
    Notation,
    Side,
    ToothKind,
    ToothName,
    UnknownToothError,
    parse_tooth,
    teeth_along_arch,
)


def test_there_are_52_teeth() -> None:
    assert (len(PERMANENT_TEETH), len(PRIMARY_TEETH), len(ALL_TEETH)) == (32, 20, 52)
    assert list(ALL_TEETH) == sorted(ALL_TEETH)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (11, "upper right central incisor"),
        (16, "upper right first molar"),
        (24, "upper left first premolar"),
        (38, "lower left third molar"),
        (43, "lower right canine"),
        (55, "upper right primary second molar"),
        (74, "lower left primary first molar"),
    ],
)
def test_words(code: int, words: str) -> None:
    assert ToothName(code).words == words


def test_groups() -> None:
    assert [t.code for t in PERMANENT_TEETH if t.is_premolar and t.quadrant == 1] == [14, 15]
    assert [t.code for t in ALL_TEETH if t.is_molar and t.quadrant == 3] == [36, 37, 38, 74, 75]
    assert ToothName(65).kind is ToothKind.SECOND_MOLAR


@pytest.mark.parametrize("tooth", ALL_TEETH, ids=str)
def test_mirroring_undoes_itself(tooth: ToothName) -> None:
    assert tooth.mirrored.mirrored == tooth
    assert tooth.mirrored.side is tooth.side.other
    assert (tooth.mirrored.arch, tooth.mirrored.kind) == (tooth.arch, tooth.kind)


def test_along_the_arch_each_is_the_next_ones_neighbour() -> None:
    for arch in Arch:
        for primary in (False, True):
            row = teeth_along_arch(arch, primary=primary)
            assert row[0].side is Side.RIGHT
            for one, following in pairwise(row):
                across = one.position == 1 and following == one.mirrored
                assert across or abs(one.code - following.code) == 1
    assert [str(t) for t in teeth_along_arch(Arch.LOWER)][6:10] == ["42", "41", "31", "32"]


@pytest.mark.parametrize("notation", Notation)
def test_each_notation_reads_back(notation: Notation) -> None:
    assert len({tooth.shown(notation) for tooth in ALL_TEETH}) == 52
    for tooth in ALL_TEETH:
        assert parse_tooth(f" {tooth.shown(notation).lower()} ", notation=notation) == tooth


@pytest.mark.parametrize("given", ["19", "", "1", "160", "x", "1.6", "-16", "56", 0, 99, True])
def test_what_is_no_tooth_is_refused(given: str | int) -> None:
    with pytest.raises(UnknownToothError, match="16") as caught:
        parse_tooth(given)
    assert caught.value.given == given


@pytest.mark.parametrize("code", [19, "16", 16.0, True])
def test_a_name_is_made_of_a_code_only(code: object) -> None:
    with pytest.raises(UnknownToothError):
        ToothName(code)  # type: ignore[arg-type]


def test_the_refusal_speaks_of_the_notation_asked_for() -> None:
    with pytest.raises(UnknownToothError, match="1 to 32"):
        parse_tooth("33", notation=Notation.UNIVERSAL)
    with pytest.raises(UnknownToothError, match="UR, UL, LL or LR"):
        parse_tooth("UR9", notation=Notation.PALMER)
