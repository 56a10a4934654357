"""A set as QTI 3.0 keeps to the standard's rules, and scores as the exercise itself does.

Rules are those of 1EdTech, QTI 3.0, Assessment, Section and Item information model and XML binding
(https://www.imsglobal.org/spec/qti/v3p0), and of its profile of IMS Content Packaging 1.2; from
memory, for the elements written here.
"""

import re
import zipfile
from dataclasses import replace
from io import BytesIO
from posixpath import dirname, join, normpath
from xml.etree import ElementTree as ET

import pytest
from PIL import Image

from bitewright.files.qti_items import choice_identifier
from bitewright.files.qti_package import NothingToExportError, qti_package
from bitewright.teaching.item import Item, ItemKind, choice_score

ITEMS = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
PACKING = "{http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1}"
LANG = "{http://www.w3.org/XML/1998/namespace}lang"
NAME = re.compile(r"[A-Za-z_][\w.-]*")

RULES = {
    # element: attributes it must have, those it may have, its children in order
    "qti-assessment-item": (
        "identifier title time-dependent",
        f"adaptive tool-name tool-version {LANG}",
        (
            "(qti-response-declaration )*(qti-outcome-declaration )*(qti-item-body )?"
            "(qti-response-processing )?(qti-modal-feedback )*"
        ),
    ),
    "qti-response-declaration": (
        "identifier cardinality",
        "base-type",
        "(qti-correct-response )?(qti-mapping )?",
    ),
    "qti-outcome-declaration": ("identifier cardinality", "base-type", "(qti-default-value )?"),
    "qti-correct-response": ("", "", "(qti-value )+"),
    "qti-default-value": ("", "", "(qti-value )+"),
    "qti-value": ("", "", ""),
    "qti-mapping": ("", "default-value lower-bound upper-bound", "(qti-map-entry )+"),
    "qti-map-entry": ("map-key mapped-value", "case-sensitive", ""),
    "qti-item-body": ("", "", "(p |qti-choice-interaction |qti-order-interaction )+"),
    "qti-choice-interaction": (
        "response-identifier",
        "shuffle max-choices min-choices",
        "(qti-prompt )?(qti-simple-choice )+",
    ),
    "qti-order-interaction": (
        "response-identifier",
        "shuffle min-choices max-choices",
        "(qti-prompt )?(qti-simple-choice )+",
    ),
    "qti-prompt": ("", "", ""),
    "qti-simple-choice": ("identifier", "fixed", ""),
    "p": ("", "", "(img )*"),
    "img": ("src alt", "", ""),
    "qti-response-processing": (
        "",
        "template",
        "(qti-response-condition |qti-set-outcome-value )*",
    ),
    "qti-response-condition": ("", "", "qti-response-if (qti-response-else )?"),
    "qti-response-if": ("", "", "qti-match (qti-set-outcome-value )*"),
    "qti-response-else": ("", "", "(qti-set-outcome-value )*"),
    "qti-match": ("", "", "(qti-variable |qti-correct |qti-base-value ){2}"),
    "qti-variable": ("identifier", "", ""),
    "qti-correct": ("identifier", "", ""),
    "qti-map-response": ("identifier", "", ""),
    "qti-base-value": ("base-type", "", ""),
    "qti-set-outcome-value": ("identifier", "", "qti-(base-value|map-response) "),
    "qti-modal-feedback": ("outcome-identifier show-hide identifier", "title", "qti-content-body "),
    "qti-content-body": ("", "", "(p )+"),
    "qti-assessment-test": ("identifier title", "tool-name tool-version", "(qti-test-part )+"),
    "qti-test-part": (
        "identifier navigation-mode submission-mode",
        "",
        "(qti-assessment-section )+",
    ),
    "qti-assessment-section": ("identifier title visible", "", "(qti-assessment-item-ref )*"),
    "qti-assessment-item-ref": ("identifier href", "", ""),
    "manifest": ("identifier", "", "metadata organizations resources "),
    "metadata": ("", "", "schema schemaversion "),
    "schema": ("", "", ""),
    "schemaversion": ("", "", ""),
    "organizations": ("", "", ""),
    "resources": ("", "", "(resource )*"),
    "resource": ("identifier type", "href", "(file )*(dependency )*"),
    "file": ("href", "", ""),
    "dependency": ("identifierref", "", ""),
}
VALUES = {
    "cardinality": {"single", "multiple", "ordered", "record"},
    "base-type": {"identifier", "float", "integer", "boolean", "string"},
    "show-hide": {"show", "hide"},
    "navigation-mode": {"linear", "nonlinear"},
    "submission-mode": {"individual", "simultaneous"},
    "time-dependent": {"true", "false"},
    "adaptive": {"true", "false"},
    "shuffle": {"true", "false"},
    "visible": {"true", "false"},
    "type": {"imsqti_test_xmlv3p0", "imsqti_item_xmlv3p0", "webcontent"},
}


def broken_rules(packed: bytes) -> list[str]:
    """Every rule that a package breaks."""
    with zipfile.ZipFile(BytesIO(packed)) as opened:
        parts = {name: opened.read(name) for name in opened.namelist()}
    found = []
    trees = {name: parsed(parts[name]) for name in parts if name.endswith(".xml")}
    for name, top in trees.items():
        space = PACKING if name == "imsmanifest.xml" else ITEMS
        found += [f"{name}: {said}" for each in top.iter() for said in of_element(each, space)]
    if "imsmanifest.xml" not in trees:
        return [*found, "no manifest"]
    found += of_manifest(trees["imsmanifest.xml"], parts)
    test = trees["test.xml"]
    for ref in test.iter(f"{ITEMS}qti-assessment-item-ref"):
        item = trees.get(ref.get("href", ""))
        if item is None or item.get("identifier") != ref.get("identifier"):
            found.append(f"test: {ref.attrib} leads to no such item")
    for name, top in trees.items():
        if name.startswith("items/"):
            found += [f"{name}: {said}" for said in of_item(top, name, parts)]
    return found


def parsed(content: bytes) -> ET.Element:
    """The top of a document that was just written here."""
    return ET.fromstring(content)  # noqa: S314


def of_element(element: ET.Element, space: str) -> list[str]:
    name = element.tag.removeprefix(space)
    if name not in RULES:
        return [f"{element.tag} is not known"]
    needed, allowed, children = RULES[name]
    given = set(element.keys())
    found = [f"{name} lacks {each}" for each in set(needed.split()) - given]
    found += [f"{name} has {each}" for each in given - {*needed.split(), *allowed.split()}]
    inside = "".join(f"{child.tag.removeprefix(space)} " for child in element)
    if re.fullmatch(children, inside) is None:
        found.append(f"{name} holds {inside}")
    found += [
        f"{key}={value} is not allowed"
        for key, value in element.items()
        if key in VALUES and value not in VALUES[key]
    ]
    identifier = element.get("identifier")
    if identifier is not None and NAME.fullmatch(identifier) is None:
        found.append(f"{identifier} is no identifier")
    return found


def of_manifest(top: ET.Element, parts: dict[str, bytes]) -> list[str]:
    resources = {each.get("identifier"): each for each in top.iter(f"{PACKING}resource")}
    found = []
    if len(resources) != len(list(top.iter(f"{PACKING}resource"))):
        found.append("two resources of one identifier")
    told = {each.get("href") for each in top.iter(f"{PACKING}file")}
    if told | {"imsmanifest.xml"} != set(parts):
        found.append(f"files told and packed differ: {told ^ set(parts)}")
    found += [
        f"{each.attrib} leads nowhere"
        for each in top.iter(f"{PACKING}dependency")
        if each.get("identifierref") not in resources
    ]
    if (top.findtext(f".//{PACKING}schema"), top.findtext(f".//{PACKING}schemaversion")) != (
        "QTI Package",
        "3.0.0",
    ):
        found.append("the manifest does not say QTI Package 3.0.0")
    return found


def of_item(top: ET.Element, name: str, parts: dict[str, bytes]) -> list[str]:
    choices = [each.get("identifier") for each in top.iter(f"{ITEMS}qti-simple-choice")]
    declared = {
        each.get("identifier")
        for kind in ("response", "outcome")
        for each in top.iter(f"{ITEMS}qti-{kind}-declaration")
    }
    found = [] if len(set(choices)) == len(choices) else ["two choices of one identifier"]
    correct = [each.text for each in top.iterfind(f".//{ITEMS}qti-correct-response/*")]
    keys = [each.get("map-key") for each in top.iter(f"{ITEMS}qti-map-entry")]
    found += [f"{each} is no choice" for each in correct + keys if each not in choices]
    for tag in ("variable", "correct", "map-response", "set-outcome-value"):
        for each in top.iter(f"{ITEMS}qti-{tag}"):
            if each.get("identifier") not in declared:
                found.append(f"{each.attrib} is not declared")
    for each in top.iter():
        used = each.get("response-identifier") or each.get("outcome-identifier")
        if used and used not in declared:
            found.append(f"{used} is not declared")
    for image in top.iter(f"{ITEMS}img"):
        if normpath(join(dirname(name), image.get("src", ""))) not in parts:
            found.append(f"{image.get('src')} is not packed")
    return found


def film() -> bytes:
    out = BytesIO()
    Image.new("L", (40, 30), 120).save(out, "PNG")
    return out.getvalue()


ITEM = Item(
    id="a1b2",
    kind=ItemKind.NAME,
    topic="overlap",
    question="What went wrong? <nothing> & more",
    choices=("The tube stood too far to the front", "Too high", "Nothing"),
    key=(1, 0),
    explanation=("The contacts overlap.",),
    film_png=film(),
)
ORDER = replace(
    ITEM, id="c3", kind=ItemKind.ORDER, question="In which order?", key=(2, 0, 1), film_png=b""
)
MOVED = replace(ITEM, id="d4", kind=ItemKind.CORRECT, choices=(), key=())


def exported(*items: Item) -> bytes:
    return qti_package(items, title="A set", version="0.1.0")[0]


def test_a_package_keeps_to_the_rules_and_comes_out_the_same_again() -> None:
    packed, left_out = qti_package([ITEM, ORDER, MOVED], title="A & B", version="0.1.0")
    assert broken_rules(packed) == []
    assert left_out == 1
    assert packed == qti_package([ITEM, ORDER, MOVED], title="A & B", version="0.1.0")[0]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (b'cardinality="single"', b'cardinality="one"'),
        (b'map-key="choice-1"', b'map-key="choice-9"'),
        (b"<qti-value>choice-2<", b"<qti-value>choice-7<"),
        (b'title="Exercise 1"', b'name="Exercise 1"'),
        (b"../films/item-001.png", b"films/item-001.png"),
        (b'identifier="item-001"', b'identifier="001"'),
        (b"imsqti_item_xmlv3p0", b"imsqti_item_xmlv2p1"),
        (b"qti-prompt", b"prompt"),
    ],
)
def test_each_slip_breaks_a_rule(before: bytes, after: bytes) -> None:
    out = BytesIO()
    with (
        zipfile.ZipFile(BytesIO(exported(ITEM))) as opened,
        zipfile.ZipFile(out, "w") as changed,
    ):
        contents = {name: opened.read(name) for name in opened.namelist()}
        assert any(before in content for content in contents.values())
        for name, content in contents.items():
            changed.writestr(name, content.replace(before, after))
    assert broken_rules(out.getvalue())


def test_its_mapping_scores_every_choice_as_the_exercise_does() -> None:
    with zipfile.ZipFile(BytesIO(exported(ITEM))) as opened:
        top = parsed(opened.read("items/item-001.xml"))
        assert opened.read("films/item-001.png") == ITEM.film_png
    mapped = {
        each.get("map-key"): float(each.get("mapped-value", "nan"))
        for each in top.iter(f"{ITEMS}qti-map-entry")
    }
    for place in range(len(ITEM.choices)):
        got = mapped.get(choice_identifier(place), 0.0)
        assert got == choice_score(ITEM, place)
    assert top.findtext(f".//{ITEMS}qti-prompt") == ITEM.question
    assert top.findtext(f".//{ITEMS}qti-content-body/{ITEMS}p") == ITEM.explanation[0]


def test_steps_are_put_in_the_order_of_the_key() -> None:
    with zipfile.ZipFile(BytesIO(exported(ORDER))) as opened:
        top = parsed(opened.read("items/item-001.xml"))
    right = [each.text for each in top.iterfind(f".//{ITEMS}qti-correct-response/*")]
    assert right == ["choice-3", "choice-1", "choice-2"]


def test_nothing_but_movements_is_refused() -> None:
    with pytest.raises(NothingToExportError, match="no movement"):
        exported(MOVED)
