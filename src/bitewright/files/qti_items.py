"""An exercise as an item of QTI 3.0: its film, the question and the choices or steps.

The standard: 1EdTech, Question and Test Interoperability (QTI) 3.0, Assessment, Section and Item
Information Model and XML Binding, https://www.imsglobal.org/spec/qti/v3p0 (from memory; the tests
hold what is written to its rules). What is right is in every item, as the standard has it: whoever
opens the file can read it. An exercise whose answer is a movement has no form there.
"""

from collections.abc import Iterator
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from bitewright.teaching.item import Item, ItemKind

ITEM_SPACE = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
TEMPLATES = "https://purl.imsglobal.org/spec/qti/v3p0/rptemplates"
PROGRAM = "Bitewright"


def can_be_written(item: Item) -> bool:
    """Whether an exercise has a form in the standard: it has choices."""
    return bool(item.choices)


def item_identifier(number: int) -> str:
    """Of the item of a place in its set, counted from 1; it tells nothing of the answer."""
    return f"item-{number:03d}"


def film_name(number: int) -> str:
    """Where an item's film lies in the package."""
    return f"films/{item_identifier(number)}.png"


def item_xml(item: Item, number: int, *, version: str) -> bytes:
    """One item of a set.

    Parameters
    ----------
    item : Item
        With choices; for `ItemKind.ORDER` they are steps to be put in order.
    number : int
        Its place in the set, counted from 1.
    version : str
        Of this program.
    """
    is_order = item.kind is ItemKind.ORDER
    top = Element(
        "qti-assessment-item",
        {
            "xmlns": ITEM_SPACE,
            "identifier": item_identifier(number),
            "title": f"Exercise {number}",
            "adaptive": "false",
            "time-dependent": "false",
            "xml:lang": "en",
            "tool-name": PROGRAM,
            "tool-version": version,
        },
    )
    _response(top, item, is_order=is_order)
    for name, base, start in (("SCORE", "float", "0"), ("FEEDBACK", "identifier", "none")):
        told = SubElement(
            top,
            "qti-outcome-declaration",
            {"identifier": name, "cardinality": "single", "base-type": base},
        )
        SubElement(SubElement(told, "qti-default-value"), "qti-value").text = start
    _body(top, item, number, is_order=is_order)
    _processing(top, is_order=is_order)
    _feedback(top, item)
    return document_of(top)


def document_of(top: Element) -> bytes:
    """An element as a whole document, laid out to be read."""
    indent(top)
    text: str = tostring(top, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()


def choice_identifier(place: int) -> str:
    """Of a choice, by its place among those shown."""
    return f"choice-{place + 1}"


def _response(top: Element, item: Item, *, is_order: bool) -> None:
    declared = SubElement(
        top,
        "qti-response-declaration",
        {
            "identifier": "RESPONSE",
            "cardinality": "ordered" if is_order else "single",
            "base-type": "identifier",
        },
    )
    correct = SubElement(declared, "qti-correct-response")
    for place in item.key if is_order else item.key[:1]:
        SubElement(correct, "qti-value").text = choice_identifier(place)
    if is_order:
        return
    mapping = SubElement(declared, "qti-mapping", {"default-value": "0"})
    for place in item.key:  # each of them is right where a film cannot tell them apart
        entry = {"map-key": choice_identifier(place), "mapped-value": "1"}
        SubElement(mapping, "qti-map-entry", entry)


def _body(top: Element, item: Item, number: int, *, is_order: bool) -> None:
    body = SubElement(top, "qti-item-body")
    if item.film_png:
        above = SubElement(body, "p")
        SubElement(above, "img", {"src": f"../{film_name(number)}", "alt": "The film to look at"})
    name = "qti-order-interaction" if is_order else "qti-choice-interaction"
    settings = {"response-identifier": "RESPONSE", "shuffle": "false"}
    if not is_order:
        settings["max-choices"] = "1"
    asked = SubElement(body, name, settings)
    SubElement(asked, "qti-prompt").text = item.question
    for place, words in enumerate(item.choices):
        choice = {"identifier": choice_identifier(place)}
        SubElement(asked, "qti-simple-choice", choice).text = words


def _processing(top: Element, *, is_order: bool) -> None:
    """The standard's own templates in full, and the explanation shown after any answer."""
    processing = SubElement(top, "qti-response-processing")
    if is_order:
        condition = SubElement(processing, "qti-response-condition")
        right = SubElement(condition, "qti-response-if")
        match = SubElement(right, "qti-match")
        SubElement(match, "qti-variable", {"identifier": "RESPONSE"})
        SubElement(match, "qti-correct", {"identifier": "RESPONSE"})
        _set_score(right, "1")
        _set_score(SubElement(condition, "qti-response-else"), "0")
    else:
        outcome = SubElement(processing, "qti-set-outcome-value", {"identifier": "SCORE"})
        SubElement(outcome, "qti-map-response", {"identifier": "RESPONSE"})
    shown = SubElement(processing, "qti-set-outcome-value", {"identifier": "FEEDBACK"})
    SubElement(shown, "qti-base-value", {"base-type": "identifier"}).text = "why"


def _set_score(into: Element, score: str) -> None:
    outcome = SubElement(into, "qti-set-outcome-value", {"identifier": "SCORE"})
    SubElement(outcome, "qti-base-value", {"base-type": "float"}).text = score


def _feedback(top: Element, item: Item) -> None:
    shown = SubElement(
        top,
        "qti-modal-feedback",
        {"outcome-identifier": "FEEDBACK", "show-hide": "show", "identifier": "why"},
    )
    body = SubElement(shown, "qti-content-body")
    for sentence in _explained(item):
        SubElement(body, "p").text = sentence


def _explained(item: Item) -> Iterator[str]:
    yield from item.explanation or ("No explanation is given.",)


__all__ = [
    "ITEM_SPACE",
    "can_be_written",
    "choice_identifier",
    "document_of",
    "film_name",
    "item_identifier",
    "item_xml",
]
