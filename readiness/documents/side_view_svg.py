"""A drawing as SVG for a page: no style attribute, no fixed id, words for who does not see it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final
from xml.etree import ElementTree as ET

from reportlab.graphics import renderSVG
from reportlab.graphics.shapes import Drawing

SVG: Final = "http://www.w3.org/2000/svg"
_RGB: Final = re.compile(r"rgb\((\d+)%,\s*(\d+)%,\s*(\d+)%\)")
_ATTRIBUTES: Final = {
    *("stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin"),
    *("fill", "fill-rule", "font-size", "clip-path"),
}


def side_view_svg(drawing: Drawing, name: str, title: str, lines: Sequence[str]) -> str:
    """The drawing as one <svg> element. `name` makes its ids unique on the page; `title` and
    `lines` are its words. Black follows the page's ink, white has the class `paper`."""
    ET.register_namespace("", SVG)
    # What is read here was written by the line before.
    root = ET.fromstring(renderSVG.drawToString(drawing).split("]>")[-1])  # noqa: S314
    _without_frame(root)
    for element in root.iter():
        _plain(element, name)
    _worded(root, name, title, lines)
    return ET.tostring(root, encoding="unicode")


def _without_frame(root: ET.Element) -> None:
    """Its own title and description go; so does the size in points, for the page decides."""
    for child in list(root):
        if child.tag in {f"{{{SVG}}}title", f"{{{SVG}}}desc"}:
            root.remove(child)
    root.set("class", "side-view")
    for attribute in ("version", "preserveAspectRatio"):
        root.attrib.pop(attribute, None)


def _plain(element: ET.Element, name: str) -> None:
    """Each declaration of a style attribute becomes an attribute of its own."""
    for part in element.attrib.pop("style", "").split(";"):
        key, _, value = (side.strip() for side in part.partition(":"))
        if key == "font-family":
            _letters(element, value)
        elif key in _ATTRIBUTES:
            element.set(key, _value(value, name))
    if "id" in element.attrib:
        element.set("id", f"{name}-{element.get('id')}")
    if element.get("transform") == "":
        del element.attrib["transform"]
    if element.get("fill") == "#fff":
        element.set("class", "paper")


def _letters(element: ET.Element, font: str) -> None:
    """A PDF's name of a face is no family of a page."""
    family, _, weight = font.partition("-")
    element.set("font-family", f"{family}, Arial, sans-serif")
    if weight == "Bold":
        element.set("font-weight", "bold")


def _value(value: str, name: str) -> str:
    value = value.removesuffix("px") if value.endswith("px") else value
    value = value.replace("url(#", f"url(#{name}-")
    found = _RGB.fullmatch(value)
    if found is None:
        return "none" if value == "None" else value
    return "currentColor" if set(found.groups()) == {"0"} else "#fff"


def _worded(root: ET.Element, name: str, title: str, lines: Sequence[str]) -> None:
    heading = ET.Element(f"{{{SVG}}}title", {"id": f"{name}-title"})
    heading.text = title
    words = ET.Element(f"{{{SVG}}}desc", {"id": f"{name}-desc"})
    words.text = " ".join(lines)
    root.insert(0, words)
    root.insert(0, heading)
    root.set("role", "img")
    root.set("aria-labelledby", f"{name}-title")
    root.set("aria-describedby", f"{name}-desc")
