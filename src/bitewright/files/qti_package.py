"""A set of exercises as one QTI 3.0 package: manifest, test, items and films in a zip file.

The standard: 1EdTech, QTI 3.0, Content Packaging 1.2 as profiled there,
https://www.imsglobal.org/spec/qti/v3p0 (from memory). The same set gives the same bytes.
"""

import zipfile
from collections.abc import Sequence
from io import BytesIO
from xml.etree.ElementTree import Element, SubElement

from bitewright.errors import BitewrightError
from bitewright.files.qti_items import (
    ITEM_SPACE,
    can_be_written,
    document_of,
    film_name,
    item_identifier,
    item_xml,
)
from bitewright.teaching.item import Item

MANIFEST_SPACE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
MANIFEST, TEST = "imsmanifest.xml", "test.xml"
MOMENT = (1980, 1, 1, 0, 0, 0)
"""Of every file in the package: the earliest a zip file can say."""


class NothingToExportError(BitewrightError):
    """No exercise of a set has a form in the standard."""

    def __init__(self) -> None:
        super().__init__(
            "None of these exercises can be written as QTI, which knows choices and orders and no "
            "movement of a tube: give a set with questions to choose an answer to."
        )


def qti_package(items: Sequence[Item], *, title: str, version: str) -> tuple[bytes, int]:
    """A set as a zip file, and how many exercises were left out as they have no form there.

    Raises
    ------
    NothingToExportError
    """
    written = [item for item in items if can_be_written(item)]
    if not written:
        raise NothingToExportError
    numbered = list(enumerate(written, start=1))
    parts = {MANIFEST: _manifest(numbered), TEST: _test(numbered, title, version)}
    for number, item in numbered:
        parts[_item_name(number)] = item_xml(item, number, version=version)
        if item.film_png:
            parts[film_name(number)] = item.film_png
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in parts.items():
            about = zipfile.ZipInfo(name, MOMENT)
            about.compress_type = zipfile.ZIP_DEFLATED
            about.external_attr = 0o644 << 16
            packed.writestr(about, content)
    return out.getvalue(), len(items) - len(written)


def _item_name(number: int) -> str:
    return f"items/{item_identifier(number)}.xml"


def _manifest(numbered: Sequence[tuple[int, Item]]) -> bytes:
    top = Element("manifest", {"xmlns": MANIFEST_SPACE, "identifier": "bitewright-set"})
    about = SubElement(top, "metadata")
    SubElement(about, "schema").text = "QTI Package"
    SubElement(about, "schemaversion").text = "3.0.0"
    SubElement(top, "organizations")
    resources = SubElement(top, "resources")
    test = _resource(resources, "test-1", "imsqti_test_xmlv3p0", TEST)
    for number, item in numbered:
        identifier = item_identifier(number)
        SubElement(test, "dependency", {"identifierref": identifier})
        each = _resource(resources, identifier, "imsqti_item_xmlv3p0", _item_name(number))
        if item.film_png:
            film = f"{identifier}-film"
            SubElement(each, "dependency", {"identifierref": film})
            _resource(resources, film, "webcontent", film_name(number))
    return document_of(top)


def _resource(into: Element, identifier: str, kind: str, place: str) -> Element:
    found = SubElement(into, "resource", {"identifier": identifier, "type": kind, "href": place})
    SubElement(found, "file", {"href": place})
    return found


def _test(numbered: Sequence[tuple[int, Item]], title: str, version: str) -> bytes:
    top = Element(
        "qti-assessment-test",
        {
            "xmlns": ITEM_SPACE,
            "identifier": "test-1",
            "title": title,
            "tool-name": "Bitewright",
            "tool-version": version,
        },
    )
    part = SubElement(
        top,
        "qti-test-part",
        {
            "identifier": "part-1",
            "navigation-mode": "nonlinear",
            "submission-mode": "individual",
        },
    )
    section = SubElement(
        part,
        "qti-assessment-section",
        {"identifier": "section-1", "title": title, "visible": "true"},
    )
    for number, _ in numbered:
        place = {"identifier": item_identifier(number), "href": _item_name(number)}
        SubElement(section, "qti-assessment-item-ref", place)
    return document_of(top)


__all__ = ["NothingToExportError", "qti_package"]
