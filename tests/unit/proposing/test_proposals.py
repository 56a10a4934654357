"""Rules that doubt proposed marks, on a row of teeth made by hand."""

from dataclasses import replace

import numpy as np

from bitewright.mouth.numbering import Side
from bitewright.proposing.channels import CHANNEL_COUNT, KINDS, channel_of
from bitewright.proposing.heat_maps import HeatReading
from bitewright.proposing.proposals import MarkDoubt, ProposedMark, proposals
from bitewright.proposing.spreads import SPREADS, spread_mm
from bitewright.proposing.taken_for import is_one_arch, likely_view, shown_contacts

WIDTHS_MM = {3: 8.0, 4: 7.0, 5: 7.0, 6: 10.0, 7: 10.0}


def row_of_teeth(
    places: tuple[int, ...] = (3, 4, 5, 6, 7), *, first_px: float = 420.0
) -> HeatReading:
    """A film of a right side: upper and lower teeth that touch, the front to the right."""
    spots = np.zeros((CHANNEL_COUNT, 2))
    presence = np.zeros(CHANNEL_COUNT)
    for quadrant, height in ((1, 180.0), (4, 260.0)):
        at = first_px
        for place in places:
            for surface in ("mesial", "distal"):
                channel = channel_of(f"{quadrant}{place}.{surface}")
                assert channel is not None
                spots[channel] = at, height
                presence[channel] = 0.99
                at -= 10.0 * WIDTHS_MM[place] if surface == "mesial" else 0.0
    return HeatReading(
        places_px=spots,
        gathered=np.full(CHANNEL_COUNT, 0.95),
        presence=presence,
        front_left=0.01,
        not_upright=0.01,
        bitewing=0.99,
    )


def by_name(read: HeatReading) -> dict[str, ProposedMark]:
    return {each.name: each for each in proposals(read, is_right=True)}


def test_teeth_in_a_row_are_proposed_without_a_doubt() -> None:
    found = by_name(row_of_teeth())
    assert len(found) == 20
    assert not [each for each in found.values() if each.doubt]
    assert shown_contacts(tuple(found.values())) == 8
    assert {each.code // 10 for each in proposals(row_of_teeth(), is_right=False)} == {2, 3}


def test_marks_on_one_arch_alone_are_told_from_those_on_both() -> None:
    both = proposals(row_of_teeth(), is_right=True)
    assert not is_one_arch(both)
    assert is_one_arch([each for each in both if each.code < 20])
    assert is_one_arch([each for each in both if each.code > 40])
    single = [each for each in both if each.code < 20 or each.name == "45.distal"]
    assert is_one_arch(single), "an edge without its neighbour's is no contact"
    assert not is_one_arch([*single, *(each for each in both if each.name == "46.mesial")])


def test_what_is_not_likely_there_is_left_out_and_what_is_faint_doubted() -> None:
    read = row_of_teeth()
    gone, faint = channel_of("14.mesial"), channel_of("15.mesial")
    read.presence[[gone, faint]] = 0.4, 0.7
    found = by_name(read)
    assert "14.mesial" not in found
    assert found["15.mesial"].doubt is MarkDoubt.FAINT


def test_a_tooth_left_out_without_a_gap_is_a_doubt_about_numbers() -> None:
    """As when 43 is said to stand beside 45: what a network once took 44 for."""
    found = by_name(row_of_teeth((3, 5, 6, 7)))
    assert found["13.distal"].doubt is found["45.mesial"].doubt is MarkDoubt.NUMBERING
    assert found["46.distal"].doubt is None
    read = row_of_teeth((3, 5, 6, 7))
    read.places_px[channel_of("13.mesial")] += [40.0, 0.0]
    read.places_px[channel_of("13.distal")] += [40.0, 0.0]
    assert by_name(read)["13.distal"].doubt is None, "a gap as wide is a lost tooth's"


def test_two_teeth_that_claim_one_place_leave_one_that_is_doubted() -> None:
    read = row_of_teeth()
    read.places_px[channel_of("16.mesial")] = read.places_px[channel_of("15.mesial")]
    read.presence[channel_of("16.mesial")] = 0.95
    found = by_name(read)
    assert "16.mesial" not in found
    assert found["15.mesial"].doubt is MarkDoubt.SAME_PLACE


def test_edges_exchanged_or_a_row_torn_apart_are_out_of_order() -> None:
    read = row_of_teeth()
    pair = [channel_of("16.mesial"), channel_of("16.distal")]
    read.places_px[pair] = read.places_px[pair[::-1]]
    assert by_name(read)["16.mesial"].doubt in {MarkDoubt.OUT_OF_ORDER, MarkDoubt.SAME_PLACE}
    read = row_of_teeth()
    read.places_px[channel_of("45.mesial")] -= [35.0, 0.0]
    assert by_name(read)["44.distal"].doubt is MarkDoubt.OUT_OF_ORDER


def test_less_sure_maps_state_wider_spreads() -> None:
    for sort in SPREADS._fields:
        least, between, surest = (spread_mm(sort, sure) for sure in (0.2, 0.7, 0.95))
        assert least >= between >= surest >= 0.1, "no mark is told finer than a hand marks"
    assert len(KINDS) == 11


def test_the_view_is_that_whose_contacts_are_shown() -> None:
    whole = proposals(row_of_teeth(), is_right=True)
    assert likely_view(whole, Side.RIGHT, upright=False).name == "right-premolar"
    back = [each for each in whole if each.code % 10 >= 5]
    assert likely_view(back, Side.RIGHT, upright=True).name == "right-molar-vertical"
    moved = [replace(each, place_px=(each.place_px[0] + 130, 0.0)) for each in back]
    assert likely_view(moved, Side.LEFT, upright=False).name == "left-molar"
