"""How large a packed file would become in memory, found before it does."""

import zlib
from io import BytesIO

from pydicom.dataset import Dataset
from pydicom.encaps import generate_frames
from pydicom.filereader import _read_file_meta_info, read_preamble
from pydicom.uid import DeflatedExplicitVRLittleEndian, RLELossless

from bitewright.marking.raw_image import MOST_PIXELS

MOST_BYTES = 2 * MOST_PIXELS + (16 << 20)
"""Of a whole object: the largest picture at 16 bits, and room for everything about it."""

MOST_SCANS = 100
"""Of one JPEG: each scan goes over all of the picture again. Usual are ten at most (common
practice, no source)."""

RUNS_END = 128
FILE_OF_J2K = b"\x00\x00\x00\x0cjP  "
BOX_HEAD = 8
SIZE_OF_J2K = b"\xff\x4f\xff\x51"
FRAME_STARTS = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""JPEG markers that a frame's size follows (ITU-T T.81, table B.1)."""


def inflates_too_far(data: bytes) -> bool:
    """Whether a deflated file holds more than any picture needs."""
    file = BytesIO(data)
    read_preamble(file, force=False)
    meta = _read_file_meta_info(file)
    if meta.get("TransferSyntaxUID") != DeflatedExplicitVRLittleEndian:
        return False
    inflater = zlib.decompressobj(-zlib.MAX_WBITS)
    return len(inflater.decompress(data[file.tell() :], MOST_BYTES + 1)) > MOST_BYTES


def frame_is_another_size(dataset: Dataset) -> bool:
    """Whether a packed picture would not unpack to the size that its object states.

    What is not packed, and what is packed in a way that is not known here, is not judged.

    Raises
    ------
    ValueError
        If a file of JPEG 2000 is so damaged that who reads it would never come to an end.
    """
    syntax = dataset.file_meta.TransferSyntaxUID
    if not syntax.is_encapsulated:
        return False
    frame = next(generate_frames(dataset.PixelData, number_of_frames=1))
    pixels = int(dataset.Rows) * int(dataset.Columns)
    if syntax == RLELossless:
        return not _runs_fit(frame, pixels)
    _check_boxes(frame)
    size = _jpeg_size(frame) or _j2k_size(frame)
    if size is not None and size != (int(dataset.Columns), int(dataset.Rows)):
        return True
    return frame.count(b"\xff\xda") > MOST_SCANS


def _check_boxes(frame: bytes) -> None:
    """Each box of a JPEG 2000 file before its picture must be as long as its head at least."""
    at = len(FILE_OF_J2K) + 4
    while frame.startswith(FILE_OF_J2K) and at < len(frame):
        if frame[at + 4 : at + 8] == b"jp2c":
            return
        length = int.from_bytes(frame[at : at + 4], "big")
        if length < BOX_HEAD:
            raise ValueError(length)
        at += length


def _runs_fit(frame: bytes, pixels: int) -> bool:
    """Whether each run-length segment gives one byte a pixel, or one more to make it even."""
    count = min(int.from_bytes(frame[:4], "little"), 15)
    starts = [int.from_bytes(frame[at : at + 4], "little") for at in range(4, 4 + 4 * count, 4)]
    ends = [*starts[1:], len(frame)]
    return all(
        _unpacked(frame[start:end], most=pixels + 1) <= pixels + 1
        for start, end in zip(starts, ends, strict=True)
    )


def _unpacked(segment: bytes, *, most: int) -> int:
    """Bytes that a segment of runs gives; once they are too many, no further run is looked at."""
    at = made = 0
    while at < len(segment) and made <= most:
        told = segment[at]
        if told > RUNS_END:
            made, at = made + 257 - told, at + 2
        elif told < RUNS_END:
            made, at = made + told + 1, at + told + 2
        else:
            at += 1
    return made


def _jpeg_size(frame: bytes) -> tuple[int, int] | None:
    """Columns and rows that a JPEG's first frame header states."""
    at = 2
    while frame[:2] == b"\xff\xd8" and at + 9 <= len(frame) and frame[at] == 0xFF:
        marker = frame[at + 1]
        if marker in FRAME_STARTS:
            rows, columns = frame[at + 5 : at + 7], frame[at + 7 : at + 9]
            return int.from_bytes(columns, "big"), int.from_bytes(rows, "big")
        at += 1 if marker == 0xFF else 2 + int.from_bytes(frame[at + 2 : at + 4], "big")
    return None


def _j2k_size(frame: bytes) -> tuple[int, int] | None:
    """Columns and rows that a JPEG 2000 code stream states (ISO/IEC 15444-1, A.5.1)."""
    at = frame.find(SIZE_OF_J2K)
    if at < 0:
        return None
    far = [int.from_bytes(frame[at + place : at + place + 4], "big") for place in range(8, 24, 4)]
    return far[0] - far[2], far[1] - far[3]


__all__ = ["MOST_BYTES", "frame_is_another_size", "inflates_too_far"]
