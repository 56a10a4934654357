"""A film's file, its bytes read once: digest and pixels are of the same bytes."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

from bitewright.files.disk import read_file
from bitewright.files.images import decode_image
from bitewright.marking.raw_image import RawImage

DICOM_MARK = slice(128, 132)
MOST_FILM_BYTES = 128 << 20
"""More than the largest film takes uncompressed, with four channels."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DecodedFilm:
    """A film as its file gave it.

    Parameters
    ----------
    name : str
        What sentences call it: its file's name, or the label it goes by.
    sha256 : str
        Of the bytes that its pixels were decoded from, in hexadecimal.
    image : RawImage
    """

    name: str
    sha256: str
    image: RawImage


def decode_film(data: bytes, *, name: str) -> DecodedFilm:
    """A film by its content: PNG, TIFF, JPEG or DICOM, whose mark comes after 128 bytes.

    Raises
    ------
    BitewrightError
        One sentence that calls the film by its name.
    """
    return DecodedFilm(
        name=name, sha256=hashlib.sha256(data).hexdigest(), image=_decoded(data, name)
    )


def _decoded(data: bytes, name: str) -> RawImage:
    if data[DICOM_MARK] != b"DICM":
        return decode_image(data, name=name)
    from bitewright.dicom.read import decode_dicom  # noqa: PLC0415  slow to load, and few films are

    return decode_dicom(data, name=name)


def read_film(path: Path) -> DecodedFilm:
    """The film a file holds, called by the file's name; errors as `decode_film`.

    Raises
    ------
    FileUnreadableError
    """
    return decode_film(read_file(path, most_bytes=MOST_FILM_BYTES), name=path.name)


__all__ = ["DecodedFilm", "decode_film", "read_film"]
