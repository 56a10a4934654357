"""Marks in the trade's words, for people who place them."""

from bitewright.mouth.landmark_names import Feature, SurfaceLandmark, parse_landmark

PLACES = {
    Feature.OUTLINE: "the {surface} edge of {tooth} at its contact",
    Feature.DEJ: "where enamel meets dentine at the {surface} contact of {tooth}",
    Feature.CEJ: "the {surface} cemento-enamel junction of {tooth}",
    Feature.CREST: "the bone crest {surface} to {tooth}",
}


def landmark_words(name: str) -> str:
    """A landmark as a teacher names it: "the tip of the mesiobuccal cusp of 16".

    Raises
    ------
    UnknownToothError, UnknownLandmarkError
        If the name is none.
    """
    landmark = parse_landmark(name)
    if isinstance(landmark, SurfaceLandmark):
        return PLACES[landmark.feature].format(surface=landmark.surface.value, tooth=landmark.tooth)
    if landmark.tooth.position <= 3:
        return (
            f"the cusp tip of {landmark.tooth}"
            if landmark.tooth.position == 3
            else (f"the middle of the edge of {landmark.tooth}")
        )
    return f"the tip of the {landmark.cusp.value} cusp of {landmark.tooth}"


def listed(words: list[str], *, last: str = "and") -> str:
    """Words in a row: "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


__all__ = ["landmark_words", "listed"]
