"""Read radiographs from PNG, TIFF and JPEG; write simulated ones and pictures."""

import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from bitewright.errors import BitewrightError
from bitewright.files.decoded import Decoded, UnsupportedImageError, grey_plane
from bitewright.files.disk import read_file, write_file
from bitewright.files.pixel_size import MM_PER_INCH, pixel_size_from_dpi
from bitewright.files.raster import decode_jpeg, decode_png
from bitewright.files.tiff import decode_tiff, encode_tiff
from bitewright.marking.raw_image import RawImage, RawImageError

DECODERS: dict[bytes, Callable[[str, bytes], Decoded]] = {
    b"\x89PNG\r\n\x1a\n": decode_png,
    b"\xff\xd8\xff": decode_jpeg,
    b"II*\0": decode_tiff,
    b"MM\0*": decode_tiff,
    b"II+\0": decode_tiff,
}
DICOM_MARK = slice(128, 132)
SIMULATED = "SIMULATED"


class UnknownImageFormatError(BitewrightError):
    """A file is no PNG, TIFF or JPEG, or its name asks for a format that is not written."""

    def __init__(self, name: str, advice: str) -> None:
        self.name = name
        self.advice = advice
        super().__init__(f"The image {name} is of no format known here: {advice}.")


def read_image(path: Path) -> RawImage:
    """A grey picture from a PNG, TIFF or JPEG file, as `decode_image` takes it.

    Raises
    ------
    FileUnreadableError
    """
    return decode_image(read_file(path), name=str(path))


def decode_image(data: bytes, *, name: str) -> RawImage:
    """A grey picture from a PNG, TIFF or JPEG file's bytes, recognised by content, not by name.

    8 to 16 bits. Equal channels are reduced to one; colour, transparency, several pages and
    pixels that are not square are refused. A stated orientation is applied, so the picture is as
    viewers show it. The pixel size comes from PNG pHYs, TIFF resolution or JPEG density; 72 and
    96 dots an inch mean none, and a caveat says so. Of the file's texts only a description that
    begins with SIMULATED is passed on, as the attribute "provenance".

    Raises
    ------
    UnknownImageFormatError, DamagedImageError, UnsupportedImageError, ColourImageError,
    AnisotropicPixelsError
        One sentence each, which calls the file by ``name``.
    """
    decoded = _decoder(name, data)(name, data)
    size = pixel_size_from_dpi(name, decoded.dpi, stated_in=decoded.stated_in)
    is_simulated = decoded.description.startswith(SIMULATED)
    try:
        return RawImage(
            pixels=grey_plane(name, decoded),
            bits=decoded.bits,
            pixel_mm=size.pixel_mm,
            source=f"{decoded.kind}, {decoded.bits} bit, {size.origin}",
            attributes={"provenance": decoded.description} if is_simulated else {},
            caveats=size.caveats,
        )
    except RawImageError as error:
        holds = f"a {error.what} of {error.given}"
        raise UnsupportedImageError(name, holds, error.allowed) from error


def write_image(
    path: Path, pixels: NDArray[np.uint16], *, pixel_mm: float | None, description: str
) -> None:
    """Write a radiograph as 16 bit grey PNG or TIFF, by the name's ending, whole or not at all.

    Parameters
    ----------
    path : Path
        Ending in .png, .tif or .tiff.
    pixels : (rows, columns) uint16 array
        0 is black as displayed.
    pixel_mm : float or None
        At the receptor, 0.005 to 0.2. PNG holds whole pixels a metre, so it comes back within
        2e-5 mm; TIFF within 1e-9 mm. [mm]
    description : str
        Provenance, beginning with SIMULATED for a simulated film; PNG text and TIFF tag.

    Raises
    ------
    UnknownImageFormatError
        If the name ends otherwise.
    RawImageError
        If the pixels or their size cannot be those of a radiograph.
    FileUnwritableError
        If the file cannot be written; nothing is left behind.
    """
    path = Path(path)
    encode = ENCODERS.get(path.suffix.lower())
    if encode is None:
        raise UnknownImageFormatError(str(path), "end its name in .png, .tif or .tiff")
    checked = RawImage(pixels=pixels, bits=16, pixel_mm=pixel_mm, source="to be written")
    write_file(path, encode(checked.pixels, pixel_mm, description))


def film_picture(pixels: NDArray[np.uint16], *, description: str) -> bytes:
    """A film as `write_image` writes it to a file that ends in .png.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
    description : str

    Raises
    ------
    RawImageError
        If these cannot be the pixels of a radiograph.
    """
    checked = RawImage(pixels=pixels, bits=16, pixel_mm=None, source="to be written")
    return _png(checked.pixels, None, description)


def write_picture(path: Path, rgb: NDArray[np.uint8], *, description: str) -> None:
    """Write a colour picture, such as a film with marks drawn on it, as 8 bit PNG.

    Parameters
    ----------
    path : Path
        Ending in .png.
    rgb : (rows, columns, 3) uint8 array
    description : str
        Provenance, beginning with SIMULATED if it shows a simulated film.

    Raises
    ------
    UnknownImageFormatError, RawImageError, FileUnwritableError
        As `write_image`.
    """
    path = Path(path)
    if path.suffix.lower() != ".png":
        raise UnknownImageFormatError(str(path), "end its name in .png")
    if rgb.dtype != np.uint8 or rgb.ndim != 3 or rgb.shape[2] != 3 or not rgb.size:
        given = f"an array of {rgb.dtype} and shape {rgb.shape}"
        raise RawImageError("pixel data", given, "uint8, rows by columns by 3")
    write_file(path, _png(rgb, None, description))


def _decoder(name: str, data: bytes) -> Callable[[str, bytes], Decoded]:
    for start, decoder in DECODERS.items():
        if data.startswith(start):
            return decoder
    if data[DICOM_MARK] == b"DICM":
        raise UnknownImageFormatError(name, "it is a DICOM file, so read it as one")
    raise UnknownImageFormatError(name, "give a PNG, TIFF, JPEG or DICOM file")


def _png(pixels: NDArray[np.generic], pixel_mm: float | None, description: str) -> bytes:
    text = PngInfo()
    text.add_text("Description", description)
    size = {} if pixel_mm is None else {"dpi": (MM_PER_INCH / pixel_mm,) * 2}
    file = BytesIO()
    # Films' noise repeats nowhere: looking for repeats takes three times as long, and finds none.
    effort = zlib.Z_HUFFMAN_ONLY if pixels.dtype == np.uint16 else zlib.Z_DEFAULT_STRATEGY
    Image.fromarray(pixels).save(file, "PNG", pnginfo=text, compress_type=effort, **size)
    return file.getvalue()


ENCODERS: dict[str, Callable[[NDArray[np.generic], float | None, str], bytes]] = {
    ".png": _png,
    ".tif": encode_tiff,
    ".tiff": encode_tiff,
}

__all__ = [
    "ENCODERS",
    "UnknownImageFormatError",
    "decode_image",
    "film_picture",
    "read_image",
    "write_image",
    "write_picture",
]
