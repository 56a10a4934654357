"""The bite block: closed, as large as the holder says, the same on both sides."""

import numpy as np
import pytest

from bitewright.film.bite_block import bite_block
from tests.scenes import station_of


@pytest.mark.parametrize("holder", ["ring-holder", "tab"])
def test_it_is_closed_and_as_large_as_the_holder_says(holder: str) -> None:
    at = station_of("right-premolar", holder=holder)
    block = bite_block(at)
    assert block is not None
    size = np.ptp(block.checked().vertices_mm, axis=0)
    own = at.holder
    assert size[0] == pytest.approx(own.bite_block_length_mm, abs=0.05)
    assert size[2] == pytest.approx(own.bite_block_width_mm)
    # A lip stands out where no tooth is; where teeth bite it is as thick as told.
    assert 1.0 <= size[1] / own.bite_block_thickness_mm < 1.2
    whole = own.bite_block_length_mm * own.bite_block_thickness_mm * own.bite_block_width_mm
    assert 0.7 * whole < block.volume_mm3 < whole


def test_it_stands_out_from_the_receptor_towards_the_tube() -> None:
    block = bite_block(station_of("right-premolar"))
    assert block is not None
    assert (block.vertices_mm[:, 2] <= 0.0).all()


def test_the_other_sides_is_its_mirror_image() -> None:
    right, left = (bite_block(station_of(f"{side}-premolar")) for side in ("right", "left"))
    assert right is not None
    assert left is not None
    mirrored = left.vertices_mm * [-1.0, 1.0, 1.0]
    order, other = (np.lexsort(np.round(v, 6).T) for v in (right.vertices_mm, mirrored))
    np.testing.assert_allclose(right.vertices_mm[order], mirrored[other], atol=1e-6)


def test_no_holder_has_no_block() -> None:
    assert bite_block(station_of("right-premolar", holder="none")) is None
