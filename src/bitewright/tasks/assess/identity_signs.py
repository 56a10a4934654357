"""What in a film may say whose it is: told to a person before the film is kept."""

from bitewright.errors import BitewrightError, plainly
from bitewright.marking.burnt_in_text import text_lines
from bitewright.tasks.assess.decoded_film import DICOM_MARK, DecodedFilm, decode_film
from bitewright.words import identities as words

SIMULATED = "SIMULATED"


class MayNameSomebodyError(BitewrightError):
    """A film may say whose it is, and nobody has said that they looked."""

    status_code = 409

    def __init__(self, name: str, signs: tuple[str, ...], *, on_page: bool = False) -> None:
        self.signs = signs
        how = "the button here" if on_page else "--looked-at or the button here"
        super().__init__(
            f"{words.warning(plainly(name), signs)}. Nothing was kept: look at it, and keep it all "
            f"the same with {how}, or bring a copy without."
        )


def identity_signs(film: DecodedFilm) -> tuple[str, ...]:
    """What in a film may say whose it is, a phrase each; empty if nothing was seen.

    Patient elements that its DICOM file fills in, and what looks like text in its picture. Films
    that say they are simulated are of nobody.
    """
    raw = film.image
    if (
        raw.attributes.get("provenance", "").startswith(SIMULATED)
        or raw.attributes.get("quality_control_image") == "YES"
    ):
        return ()
    signs = [words.names_patient(raw.names_patient)] if raw.names_patient else []
    lines = text_lines(raw.pixels)
    if lines:
        across = (lines[0].left_px + lines[0].right_px) / 2 / raw.columns
        down = (lines[0].top_px + lines[0].bottom_px) / 2 / raw.rows
        signs.append(words.may_hold_text(len(lines), words.place_in_picture(across, down)))
    return tuple(signs)


def check_looked_at(content: bytes, name: str) -> None:
    """Refuse a file that may say whose it is; for where nobody has said that they looked.

    A file that is no film of a sort read here is not judged, unless it is DICOM: that names people.

    Raises
    ------
    MayNameSomebodyError
    """
    try:
        signs = identity_signs(decode_film(content, name=name))
    except BitewrightError as error:
        is_dicom = content[DICOM_MARK] == b"DICM"
        signs = (words.not_looked_at(str(error)),) if is_dicom else ()
    if signs:
        raise MayNameSomebodyError(name, signs)


__all__ = ["MayNameSomebodyError", "check_looked_at", "identity_signs"]
