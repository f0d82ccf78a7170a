"""The line on which each value of a JSON text stands, and keys that stand twice."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field

Path = tuple[str | int, ...]
_SPACE = re.compile(r"\s*")
_DECODER = json.JSONDecoder()


@dataclass(slots=True)
class Places:
    """``line_of`` a path; ``doubled`` holds the paths of keys that stand twice in one object."""

    lines: dict[Path, int] = field(default_factory=dict)
    doubled: list[Path] = field(default_factory=list)

    def line_of(self, path: Path) -> int:
        """The line of the value, or of the nearest thing around it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def places(text: str) -> Places:
    """Where everything stands in a sound JSON text; ValueError where it is not JSON."""
    json.loads(text)
    found = Places()
    _value(text, 0, (), found)
    return found


def written(path: Path) -> str:
    """'intervals[3].months'."""
    words = (f"[{step}]" if isinstance(step, int) else f".{step}" for step in path)
    return "".join(words).lstrip(".")


def _value(text: str, at: int, path: Path, found: Places) -> int:
    at = _after_space(text, at)
    found.lines[path] = text.count("\n", 0, at) + 1
    if text[at] == "{":
        return _inside(text, at + 1, path, found, "}")
    if text[at] == "[":
        return _inside(text, at + 1, path, found, "]")
    return _DECODER.raw_decode(text, at)[1]


def _inside(text: str, at: int, path: Path, found: Places, end: str) -> int:
    """The members of an object or a list; the text is known to be sound."""
    count = 0
    at = _after_space(text, at)
    while text[at] != end:
        if end == "}":
            key, at = _DECODER.raw_decode(text, at)
            step: Path = (*path, key)
            if step in found.lines:
                found.doubled.append(step)
            at = _after_space(text, at) + 1
        else:
            step = (*path, count)
        at = _after_space(text, _value(text, at, step, found))
        at = _after_space(text, at + 1) if text[at] == "," else at
        count += 1
    return at + 1


def _after_space(text: str, at: int) -> int:
    space = _SPACE.match(text, at)
    return space.end() if space else at
