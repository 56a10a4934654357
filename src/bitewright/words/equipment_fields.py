"""What the fields of own equipment are called where people fill them in, and what each means."""

from collections.abc import Mapping

FIELD_TITLES: Mapping[str, str] = {
    "name": "Name to type",
    "title": "Name to show",
    "source": "Where the figures come from",
    "confidence": "How well they are known",
    "kind": "Kind",
    "size": "Size number",
    "outer_long_mm": "Long side, outside",
    "outer_short_mm": "Short side, outside",
    "active_long_mm": "Long side that records",
    "active_short_mm": "Short side that records",
    "active_offset_long_mm": "Offset along the long side",
    "active_offset_short_mm": "Offset along the short side",
    "thickness_mm": "Thickness",
    "active_depth_mm": "Depth of the recording plane",
    "corner_radius_mm": "Rounding of the corners",
    "pixel_mm": "Pixel size",
    "flex_mm": "Give at the edge",
    "bite_block_thickness_mm": "Bite block, thickness",
    "bite_block_length_mm": "Bite block, along the teeth",
    "bite_block_width_mm": "Bite block, across the teeth",
    "receptor_to_block_mm": "Gap from receptor to bite block",
    "backing_thickness_mm": "Thickness behind the receptor",
    "ring": "Has a ring for the tube",
    "ring_to_receptor_mm": "From the ring to the receptor",
    "focal_spot_mm": "Focal spot",
    "source_to_end_mm": "From the focal spot to the tube's end",
    "kv": "Tube voltage",
    "target_angle_deg": "Target angle",
    "filtration_mm_al": "Filtration",
    "field": "Shape of the field",
    "field_diameter_mm": "Field, diameter",
    "field_long_mm": "Field, long side",
    "field_short_mm": "Field, short side",
}
"""A field's title by its name."""

FIELD_SAYS: Mapping[str, str] = {
    "name": "small letters, digits and hyphens, such as sensor-2-old",
    "title": "may be left empty: then the name with spaces",
    "source": "for one's own device: who measured it, and when",
    "outer_long_mm": "casing, sleeve left out",
    "active_offset_long_mm": "from the casing's middle; plus is away from the cable",
    "active_offset_short_mm": "from the casing's middle; plus is up when the long side lies level",
    "thickness_mm": "with packet or sleeve for film and plates",
    "active_depth_mm": "below the surface that faces the tube",
    "pixel_mm": "for film and plates that of the scanner",
    "flex_mm": "how far an edge yields to palate or floor; 0 is rigid",
    "bite_block_thickness_mm": "0 only where nothing lies between the teeth",
    "backing_thickness_mm": "on the tongue's side; it needs room too",
    "field_diameter_mm": "round fields only",
    "field_long_mm": "rectangular fields only",
    "field_short_mm": "rectangular fields only",
}
"""What a field means, where its title does not say it all."""

CONFIDENCE_TITLES: Mapping[str, str] = {
    "seen": "read in the source",
    "memory": "from memory",
    "practice": "common practice, no source",
    "derived": "worked out from other figures",
    "measured": "measured on the device",
    "stated": "stated by its maker",
}
"""How well figures are known, by name."""


def in_peoples_words(sentence: str) -> str:
    """A sentence about a field under the names people fill in."""
    for name in sorted(FIELD_TITLES, key=len, reverse=True):
        if "_" in name:
            sentence = sentence.replace(name, FIELD_TITLES[name].lower())
    return sentence


__all__ = ["CONFIDENCE_TITLES", "FIELD_SAYS", "FIELD_TITLES", "in_peoples_words"]
