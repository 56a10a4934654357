"""What a distance on the receptor is at the contact, against rays traced here."""

import numpy as np
import pytest

from bitewright.exposing.scale import Scale

SOURCE_RECEPTOR_MM, SOURCE_CONTACT_MM = 310.0, 290.0


@pytest.mark.parametrize("lean_deg", [0.0, 12.0, 25.0])
def test_a_length_at_the_contact_comes_back_from_its_image(lean_deg: float) -> None:
    """A short length across the ray, its ends traced to a receptor that leans from square."""
    lean, width = np.deg2rad(lean_deg), 0.01
    ends = np.array([[-width / 2, SOURCE_CONTACT_MM], [width / 2, SOURCE_CONTACT_MM]])
    normal, along = np.array([np.sin(lean), np.cos(lean)]), np.array([np.cos(lean), -np.sin(lean)])
    middle = np.array([0.0, SOURCE_RECEPTOR_MM])
    shown = ends * (middle @ normal / (ends @ normal))[:, None]
    image_mm = np.abs(np.diff((shown - middle) @ along))[0]
    scale = Scale(
        magnification=np.array([[SOURCE_RECEPTOR_MM / SOURCE_CONTACT_MM]]),
        cos_obliquity=np.array([[np.cos(lean)]]),
        enamel_mm=np.array([1.3]),
    )
    assert image_mm * scale.object_per_receptor[0, 0] == pytest.approx(width, rel=1e-6)
