"""The sheet holds every film it is given, bright and dark as they were."""

import numpy as np

from bitewright.report.contact_sheet import Tile, contact_sheet
from bitewright.report.palette import GROUND
from bitewright.report.typeset import picture_of


def test_films_lie_in_rows_under_their_titles() -> None:
    bright = Tile(pixels=np.full((310, 410), 60_000, dtype=np.uint16), caption="bright")
    dark = Tile(pixels=np.full((310, 410), 3_000, dtype=np.uint16), caption="dark")
    one = picture_of(contact_sheet([("first", [bright] * 3)], foot="foot", description="d"))
    groups = [("first", [bright] * 3), ("second", [dark] * 6)]
    two = picture_of(contact_sheet(groups, foot="foot", description="d"))
    assert one.shape[1] == two.shape[1]
    assert two.shape[0] > 2 * one.shape[0]
    assert (one == 60_000 // 257).all(axis=2).sum() > 3 * 0.9 * 400 * 302
    assert bytes(two[-1, -1]).hex() == GROUND.removeprefix("#")
