"""PNG, TIFF and JPEG: what is written comes back, what is foreign is understood or refused."""

from io import BytesIO
from pathlib import Path
from typing import Any, Literal
from zlib import crc32

import numpy as np
import pytest
import tifffile
from numpy.typing import NDArray
from PIL import Image

from bitewright.files.decoded import ColourImageError, DamagedImageError, UnsupportedImageError
from bitewright.files.disk import FileUnreadableError, FileUnwritableError
from bitewright.files.images import (
    UnknownImageFormatError,
    read_image,
    write_image,
    write_picture,
)
from bitewright.files.pixel_size import AnisotropicPixelsError
from bitewright.marking.raw_image import RawImageError

GREY = np.random.default_rng(7).integers(0, 256, (23, 31)).astype(np.uint8)
DEEP = np.random.default_rng(8).integers(0, 65536, (23, 31)).astype(np.uint16)
PIXEL_MM_TOLERANCE = 1e-4
SIMULATED = "SIMULATED film, made up, 15 µGy"


def pillow(path: Path, pixels: NDArray[Any], kind: str = "PNG", **settings: Any) -> Path:
    Image.fromarray(pixels).save(path, kind, **settings)
    return path


def tiff(path: Path, pixels: NDArray[Any], **settings: Any) -> Path:
    tifffile.imwrite(path, pixels, metadata=None, **settings)
    return path


@pytest.mark.parametrize("name", ["a.png", "a.tif", "a.TIFF"])
@pytest.mark.parametrize("pixel_mm", [None, 0.005, 0.0194, 0.03, 0.1999, 0.2])
def test_written_images_come_back_alike(tmp_path: Path, name: str, pixel_mm: float | None) -> None:
    write_image(tmp_path / name, DEEP, pixel_mm=pixel_mm, description=SIMULATED)
    image = read_image(tmp_path / name)
    np.testing.assert_array_equal(image.pixels, DEEP)
    assert image.bits == 16
    assert image.attributes == {"provenance": SIMULATED}
    assert image.caveats == ()
    if pixel_mm is None:
        assert image.pixel_mm is None
    else:
        assert image.pixel_mm == pytest.approx(pixel_mm, abs=PIXEL_MM_TOLERANCE)
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_the_same_image_is_written_the_same_twice(tmp_path: Path) -> None:
    for ending in ("png", "tif"):
        for name in "ab":
            write_image(tmp_path / f"{name}.{ending}", DEEP, pixel_mm=0.02, description=SIMULATED)
        a, b = ((tmp_path / f"{name}.{ending}").read_bytes() for name in "ab")
        assert a == b


def test_others_see_the_word_simulated(tmp_path: Path) -> None:
    write_image(tmp_path / "a.png", DEEP, pixel_mm=0.02, description=SIMULATED)
    write_image(tmp_path / "a.tif", DEEP, pixel_mm=0.02, description=SIMULATED)
    rgb = np.stack([GREY] * 3, axis=2)
    write_picture(tmp_path / "b.png", rgb, description=SIMULATED)
    assert Image.open(tmp_path / "a.png").info["Description"] == SIMULATED
    assert Image.open(tmp_path / "b.png").info["Description"] == SIMULATED
    np.testing.assert_array_equal(np.asarray(Image.open(tmp_path / "b.png")), rgb)
    with tifffile.TiffFile(tmp_path / "a.tif") as file:
        assert file.pages[0].aspage().description == SIMULATED


def test_a_strangers_text_is_not_passed_on(tmp_path: Path) -> None:
    path = tiff(tmp_path / "a.tif", GREY, description="Doe, Jane, born 1970")
    assert "Doe" not in repr(read_image(path))


@pytest.mark.parametrize("name", ["a.jpg", "a", "a.png.gz"])
def test_only_png_and_tiff_are_written(tmp_path: Path, name: str) -> None:
    with pytest.raises(UnknownImageFormatError, match=r"\.png"):
        write_image(tmp_path / name, DEEP, pixel_mm=None, description=SIMULATED)
    with pytest.raises(UnknownImageFormatError, match=r"\.png"):
        write_picture(tmp_path / name, np.zeros((2, 2, 3), np.uint8), description=SIMULATED)
    assert not list(tmp_path.iterdir())


def test_what_cannot_be_a_radiograph_is_not_written(tmp_path: Path) -> None:
    for pixels, pixel_mm in ((DEEP.astype(float), 0.02), (DEEP, 0.9), (DEEP, float("nan"))):
        with pytest.raises(RawImageError):
            write_image(tmp_path / "a.png", pixels, pixel_mm=pixel_mm, description=SIMULATED)
    with pytest.raises(RawImageError):
        write_picture(tmp_path / "a.png", GREY, description=SIMULATED)
    with pytest.raises(FileUnwritableError):
        write_image(tmp_path / "none" / "a.png", DEEP, pixel_mm=None, description=SIMULATED)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_eight_bit_grey(tmp_path: Path, kind: str) -> None:
    image = read_image(pillow(tmp_path / "a", GREY, kind, dpi=(847.0, 847.0)))
    np.testing.assert_array_equal(image.pixels, GREY)
    assert image.bits == 8
    assert image.pixel_mm == pytest.approx(25.4 / 847, abs=PIXEL_MM_TOLERANCE)


def test_jpeg_grey_and_its_density(tmp_path: Path) -> None:
    smooth = np.linspace(0, 255, 32 * 48).reshape(32, 48).astype(np.uint8)
    path = pillow(tmp_path / "a", smooth, "JPEG", quality=95, dpi=(600, 600))
    image = read_image(path)
    assert abs(image.pixels.astype(int) - smooth).max() <= 6
    assert image.pixel_mm == pytest.approx(25.4 / 600, abs=PIXEL_MM_TOLERANCE)


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_equal_channels_become_one(tmp_path: Path, kind: str) -> None:
    image = read_image(pillow(tmp_path / "a", np.stack([GREY] * 3, axis=2), kind))
    np.testing.assert_array_equal(image.pixels, GREY)


def test_a_grey_jpeg_with_three_channels_is_grey(tmp_path: Path) -> None:
    smooth = np.linspace(0, 255, 32 * 48).reshape(32, 48).astype(np.uint8)
    rgb = np.stack([smooth] * 3, axis=2)
    assert read_image(pillow(tmp_path / "a", rgb, "JPEG")).pixels.shape == (32, 48)


def test_opaque_alpha_and_palette_are_grey_too(tmp_path: Path) -> None:
    opaque = np.stack([GREY] * 3 + [np.full_like(GREY, 255)], axis=2)
    np.testing.assert_array_equal(read_image(pillow(tmp_path / "a", opaque)).pixels, GREY)
    Image.fromarray(GREY).convert("P").save(tmp_path / "p", "PNG")
    np.testing.assert_array_equal(read_image(tmp_path / "p").pixels, GREY)


def test_tiff_of_planes_and_of_white_as_zero(tmp_path: Path) -> None:
    planes = np.stack([GREY] * 3)
    path = tiff(tmp_path / "a", planes, photometric="rgb", planarconfig="separate")
    np.testing.assert_array_equal(read_image(path).pixels, GREY)
    for grey, white in ((GREY, 255), (DEEP, 65535)):
        path = tiff(tmp_path / "b", white - grey, photometric="miniswhite", byteorder="<")
        np.testing.assert_array_equal(read_image(path).pixels, grey)


@pytest.mark.parametrize(("byteorder", "large"), [("<", False), (">", False), ("<", True)])
def test_tiff_of_either_byte_order_and_of_large_files(
    tmp_path: Path, *, byteorder: Literal["<", ">"], large: bool
) -> None:
    path = tiff(tmp_path / "a", DEEP, byteorder=byteorder, bigtiff=large)
    np.testing.assert_array_equal(read_image(path).pixels, DEEP)


@pytest.mark.parametrize("how", ["tiff_lzw", "tiff_adobe_deflate", "packbits"])
def test_packed_tiff(tmp_path: Path, how: str) -> None:
    for grey in (GREY, DEEP):
        path = pillow(tmp_path / "a", grey, "TIFF", compression=how)
        np.testing.assert_array_equal(read_image(path).pixels, grey)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_stated_orientation_is_applied(tmp_path: Path, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    pillow(tmp_path / "p", GREY, exif=exif)
    upright = Image.open(tmp_path / "p")
    turned = {
        1: None,
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_270,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_90,
    }[orientation]
    expected = np.asarray(upright if turned is None else upright.transpose(turned))
    np.testing.assert_array_equal(read_image(tmp_path / "p").pixels, expected)
    path = tiff(tmp_path / "t", GREY, extratags=[(0x0112, "H", 1, orientation, True)])
    np.testing.assert_array_equal(read_image(path).pixels, expected)


@pytest.mark.parametrize("dpi", [72, 96])
@pytest.mark.parametrize("kind", ["PNG", "TIFF", "JPEG"])
def test_default_resolutions_mean_none_and_it_is_said(
    tmp_path: Path, kind: str, dpi: float
) -> None:
    image = read_image(pillow(tmp_path / "a", GREY, kind, dpi=(dpi, dpi)))
    assert image.pixel_mm is None
    assert len(image.caveats) == 1
    assert f"{dpi}" in image.caveats[0]


@pytest.mark.parametrize("dpi", [1, 100, 9000])
def test_resolutions_no_receptor_has_mean_none_and_it_is_said(tmp_path: Path, dpi: int) -> None:
    image = read_image(pillow(tmp_path / "a", GREY, dpi=(dpi, dpi)))
    assert image.pixel_mm is None
    assert "no intraoral receptor" in image.caveats[0]


def test_tiff_units(tmp_path: Path) -> None:
    by_cm = tiff(tmp_path / "c", GREY, resolution=(500, 500), resolutionunit="CENTIMETER")
    assert read_image(by_cm).pixel_mm == pytest.approx(0.02)
    no_unit = tiff(tmp_path / "n", GREY, resolution=(500, 500), resolutionunit="NONE")
    assert (read_image(no_unit).pixel_mm, read_image(no_unit).caveats) == (None, ())


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "JPEG"])
def test_pixels_that_are_not_square_are_refused(tmp_path: Path, kind: str) -> None:
    path = pillow(tmp_path / "a", GREY, kind, dpi=(600, 300))
    with pytest.raises(AnisotropicPixelsError, match="square pixels"):
        read_image(path)


def test_colour_is_refused(tmp_path: Path) -> None:
    rgb = np.stack([GREY] * 3, axis=2)
    rgb[3, 4, 0] ^= 1
    with pytest.raises(ColourImageError, match="1 levels"):
        read_image(pillow(tmp_path / "p", rgb))
    with pytest.raises(ColourImageError):
        read_image(tiff(tmp_path / "t", rgb, photometric="rgb"))
    tinted = np.stack([GREY // 2, GREY, GREY], axis=2)
    with pytest.raises(ColourImageError):
        read_image(pillow(tmp_path / "j", tinted, "JPEG"))


def _cmyk() -> bytes:
    file = BytesIO()
    Image.new("CMYK", (4, 4)).save(file, "JPEG")
    return file.getvalue()


def _one_bit() -> bytes:
    file = BytesIO()
    Image.new("1", (9, 9)).save(file, "PNG")
    return file.getvalue()


def _deep_colour() -> bytes:
    file = BytesIO()
    Image.fromarray(np.zeros((4, 4, 3), np.uint8)).save(file, "PNG")
    header = bytearray(file.getvalue())
    header[24] = 16
    return bytes(header)


def _tiff(pixels: NDArray[Any], **settings: Any) -> bytes:
    file = BytesIO()
    tifffile.imwrite(file, pixels, metadata=None, **settings)
    return file.getvalue()


def _see_through() -> bytes:
    file = BytesIO()
    Image.fromarray(np.stack([GREY] * 4, axis=2)).save(file, "PNG")
    return file.getvalue()


UNSUPPORTED = {
    "cmyk": _cmyk(),
    "one bit": _one_bit(),
    "16 bit colour": _deep_colour(),
    "transparent": _see_through(),
    "two pages": _tiff(np.stack([GREY] * 2), photometric="minisblack"),
    "real numbers": _tiff(GREY.astype(np.float32), photometric="minisblack"),
    "16 bit colour in TIFF": _tiff(np.stack([DEEP] * 3, axis=2), photometric="rgb"),
    "white as zero in the rarer byte order": _tiff(DEEP, photometric="miniswhite", byteorder=">"),
    "signed": _tiff(DEEP.astype(np.int16), photometric="minisblack"),
}


@pytest.mark.parametrize("what", sorted(UNSUPPORTED))
def test_sound_images_of_another_sort_are_refused(tmp_path: Path, what: str) -> None:
    (tmp_path / "a").write_bytes(UNSUPPORTED[what])
    with pytest.raises(UnsupportedImageError, match="give one that holds"):
        read_image(tmp_path / "a")


@pytest.mark.parametrize(
    "settings",
    [
        {"compression": "tiff_lzw"},
        {"compression": "tiff_lzw", "tiffinfo": {317: 2}},
        {"compression": "packbits"},
        {"compression": "tiff_deflate"},
        {"compression": "tiff_adobe_deflate"},
    ],
    ids=["LZW", "LZW of differences", "PackBits", "old deflate", "deflate"],
)
@pytest.mark.parametrize("pixels", [GREY, DEEP], ids=["8 bit", "16 bit"])
def test_packed_tiff_comes_back_alike(
    tmp_path: Path, pixels: NDArray[Any], settings: dict[str, Any]
) -> None:
    image = read_image(pillow(tmp_path / "a.tif", pixels, "TIFF", **settings))
    np.testing.assert_array_equal(image.pixels, pixels)


@pytest.mark.parametrize("channels", [1, 3])
def test_jpeg_in_tiff_is_read(tmp_path: Path, channels: int) -> None:
    smooth = np.tile(np.linspace(0, 255, 64).astype(np.uint8), (48, 1))
    pixels = smooth if channels == 1 else np.stack([smooth] * 3, axis=2)
    path = pillow(tmp_path / "a.tif", pixels, "TIFF", compression="jpeg", quality=95)
    image = read_image(path)
    assert np.abs(image.pixels.astype(int) - smooth).max() <= 4


@pytest.mark.parametrize("way", [6, 34712, 34892, 50002])
def test_tiff_packed_in_another_way_is_called_so_and_not_damaged(tmp_path: Path, way: int) -> None:
    path = tiff(tmp_path / "a.tif", GREY)
    content = bytearray(path.read_bytes())
    entry = b"\x03\x01\x03\0\x01\0\0\0"
    at = content.index(entry) + len(entry)
    content[at : at + 2] = way.to_bytes(2, "little")
    path.write_bytes(bytes(content))
    with pytest.raises(UnsupportedImageError, match=f"packed in way {way}") as caught:
        read_image(path)
    assert "LZW, PackBits, deflate or JPEG" in str(caught.value)


def _clear_colour(mode: str, clear: object, used: object) -> bytes:
    file = BytesIO()
    image = Image.new(mode, (5, 4), used)  # type: ignore[arg-type]
    image.putpixel((2, 2), used)  # type: ignore[arg-type]
    if mode == "P":
        image.putpalette([9] * 768)
    image.save(file, "PNG", transparency=clear)
    return file.getvalue()


CLEAR_COLOURS = [
    ("L", 7, 7, 8),
    ("RGB", (7, 7, 7), (7, 7, 7), (8, 8, 8)),
    ("I;16", 7000, 7000, 8000),
    ("P", bytes([255, 0]), 1, 0),
]


@pytest.mark.parametrize(("mode", "clear", "used", "other"), CLEAR_COLOURS)
def test_a_transparent_colour_is_refused_where_the_picture_has_it(
    tmp_path: Path, mode: str, clear: object, used: object, other: object
) -> None:
    (tmp_path / "a.png").write_bytes(_clear_colour(mode, clear, used))
    with pytest.raises(UnsupportedImageError, match="transparent"):
        read_image(tmp_path / "a.png")
    (tmp_path / "a.png").write_bytes(_clear_colour(mode, clear, other))
    assert read_image(tmp_path / "a.png").rows == 4


def test_a_jpeg_of_scans_without_end_is_refused(tmp_path: Path) -> None:
    path = pillow(tmp_path / "a.jpg", GREY, "JPEG", progressive=True)
    assert read_image(path).columns == GREY.shape[1]
    path.write_bytes(path.read_bytes() + b"\xff\xda" * 100)
    with pytest.raises(UnsupportedImageError, match="more than 100 scans"):
        read_image(path)


def test_more_pixels_than_any_film_has_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    Image.new("L", (5001, 5000)).save(path)
    with pytest.raises(UnsupportedImageError, match="at most 25000000"):
        read_image(path)


@pytest.mark.parametrize("side", [12_000, 200_000])
def test_far_too_many_pixels_are_refused_before_decoding(tmp_path: Path, side: int) -> None:
    file = BytesIO()
    Image.new("L", (1, 1)).save(file, "PNG")
    header = bytearray(file.getvalue())
    header[16:24] = side.to_bytes(4, "big") * 2
    header[29:33] = crc32(header[12:29]).to_bytes(4, "big")
    (tmp_path / "a").write_bytes(bytes(header))
    with pytest.raises(UnsupportedImageError, match="pixels"):
        read_image(tmp_path / "a")


@pytest.mark.parametrize(
    ("content", "advice"),
    [
        (b"", "give a PNG"),
        (b"GIF89a" + bytes(50), "give a PNG"),
        (bytes(128) + b"DICM" + bytes(9), "DICOM file"),
        (b"<svg/>", "give a PNG"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, content: bytes, advice: str) -> None:
    (tmp_path / "a.png").write_bytes(content)
    with pytest.raises(UnknownImageFormatError, match=advice):
        read_image(tmp_path / "a.png")


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileUnreadableError):
        read_image(tmp_path / "none.png")


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "JPEG"])
@pytest.mark.parametrize("share", [0.05, 0.3, 0.6])
def test_a_file_cut_short_is_refused(tmp_path: Path, kind: str, share: float) -> None:
    noise = np.random.default_rng(1).integers(0, 256, (99, 99)).astype(np.uint8)
    whole = pillow(tmp_path / "whole", noise, kind).read_bytes()
    (tmp_path / "cut").write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(DamagedImageError, match="damaged or incomplete"):
        read_image(tmp_path / "cut")


@pytest.mark.realdata
def test_a_real_plates_own_pixel_size(shared_data: Path) -> None:
    image = read_image(shared_data / "real" / "bitewing_single_mit" / "bitewing.png")
    assert (image.columns, image.rows, image.bits) == (1356, 1030, 8)
    assert image.pixel_mm == pytest.approx(0.030, abs=PIXEL_MM_TOLERANCE)
