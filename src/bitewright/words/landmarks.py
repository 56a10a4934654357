"""Marks in the trade's words, for people who place them."""

from bitewright.exposing.beam_cover import BEAM_PLACES
from bitewright.mouth.landmark_names import Cusp, Feature, SurfaceLandmark, parse_landmark
from bitewright.words.placement import beam_place_words

PLACES = {
    Feature.OUTLINE: "the {surface} edge of {tooth} at its contact",
    Feature.DEJ: "where enamel meets dentine at the {surface} contact of {tooth}",
    Feature.CEJ: "the {surface} cemento-enamel junction of {tooth}",
    Feature.CREST: "the bone crest {surface} to {tooth}",
}
SHORT = {Feature.OUTLINE: "", Feature.DEJ: " DEJ", Feature.CEJ: " CEJ", Feature.CREST: " crest"}


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


def landmark_title(name: str) -> str:
    """A landmark in few words, for a label or a row: "15 distal crest", "13 cusp tip".

    Raises
    ------
    UnknownToothError, UnknownLandmarkError
        If the name is none.
    """
    landmark = parse_landmark(name)
    if isinstance(landmark, SurfaceLandmark):
        return f"{landmark.tooth} {landmark.surface.value}{SHORT[landmark.feature]}"
    if landmark.cusp is Cusp.TIP:
        return f"{landmark.tooth} cusp tip"
    return f"{landmark.tooth} {landmark.cusp.value}{'' if landmark.cusp is Cusp.EDGE else ' cusp'}"


def place_title(place: str) -> str:
    """Where something was decided: a contact such as "15-16" as it is, others in few words."""
    if place in BEAM_PLACES:
        return beam_place_words(place)
    return landmark_title(place) if "." in place else place


__all__ = ["landmark_title", "landmark_words", "place_title"]
