"""An example of a shape, made of the examples of its fields; a test holds each to its shape."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Told = Mapping[str, Any]
_PLAIN = {"string": "", "integer": 0, "number": 0.0, "boolean": False, "null": None}


def example_of(schema: Told, shapes: Mapping[str, Told]) -> Any:
    """Its own example, its first choice, or one made of what it consists of."""
    if "$ref" in schema:
        own = schema.get("examples")
        return own[0] if own else example_of(shapes[schema["$ref"].rpartition("/")[2]], shapes)
    for name in ("examples", "enum"):
        if schema.get(name):
            return schema[name][0]
    if "const" in schema:
        return schema["const"]
    if "anyOf" in schema:
        return example_of(schema["anyOf"][0], shapes)
    return _made(schema, shapes)


def _made(schema: Told, shapes: Mapping[str, Told]) -> Any:
    kind = schema.get("type")
    if kind == "object":
        parts = schema.get("properties", {})
        return {name: example_of(part, shapes) for name, part in parts.items()}
    if kind == "array":
        return [example_of(schema["items"], shapes)] if schema.get("items") else []
    return _PLAIN.get(str(kind))
