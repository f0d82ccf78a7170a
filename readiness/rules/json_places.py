"""JSON read with the line and the key path of every value, so that a mistake can be pointed at."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NoReturn

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\],:]|[^\s{}\[\],:"]+')
_DEEPEST = 50
_LONGEST = 60


class MalformedFile(Exception):
    """The file cannot be read as meant: where, and what was expected there."""

    def __init__(self, line: int, key: str, expected: str) -> None:
        self.line = line
        self.key = key
        self.expected = expected
        where = ", ".join(part for part in (f"Line {line}" if line else "", key) if part)
        super().__init__(f"{where}: expected {expected}.")


@dataclass(frozen=True, slots=True)
class Place:
    """A value with its line and path. Objects hold places by key, lists hold places."""

    value: object
    line: int
    path: str

    def refuse(self, expected: str) -> NoReturn:
        raise MalformedFile(self.line, self.path, f"{expected}, found {self.shown()}")

    def shown(self) -> str:
        if isinstance(self.value, dict):
            return "an object"
        if isinstance(self.value, list):
            return "a list"
        shown = json.dumps(self.value, ensure_ascii=False)
        return shown if len(shown) <= _LONGEST else f"{shown[:_LONGEST]}..."


@dataclass(frozen=True, slots=True)
class _Token:
    text: str
    line: int


def read_json(text: str) -> Place:
    _check_syntax(text)
    return _value(_tokens(text), "", 0)


def _check_syntax(text: str) -> None:
    try:
        json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        fault = error.msg[:1].lower() + error.msg[1:]
        raise MalformedFile(
            error.lineno, "", f"valid JSON, but at column {error.colno}: {fault}"
        ) from error
    except (ValueError, RecursionError) as error:
        raise MalformedFile(
            1, "", "valid JSON with finite numbers, not too deeply nested"
        ) from error


def _no_constant(name: str) -> NoReturn:
    raise ValueError(name)


def _tokens(text: str) -> Iterator[_Token]:
    line, at = 1, 0
    for match in _TOKEN.finditer(text):
        line += text.count("\n", at, match.start())
        at = match.start()
        yield _Token(match.group(), line)


def _value(tokens: Iterator[_Token], path: str, depth: int) -> Place:
    return _after(next(tokens), tokens, path, depth)


def _after(token: _Token, tokens: Iterator[_Token], path: str, depth: int) -> Place:
    if depth > _DEEPEST:
        raise MalformedFile(token.line, path, f"at most {_DEEPEST} levels of nesting")
    if token.text == "{":
        return Place(_object(tokens, path, depth), token.line, path)
    if token.text == "[":
        return Place(_list(tokens, path, depth), token.line, path)
    return Place(json.loads(token.text), token.line, path)


def _object(tokens: Iterator[_Token], path: str, depth: int) -> dict[str, Place]:
    found: dict[str, Place] = {}
    for token in tokens:
        if token.text == "}":
            break
        if token.text == ",":
            continue
        key = json.loads(token.text)
        inner = f"{path}.{key}" if path else key
        if key in found:
            raise MalformedFile(token.line, inner, "each key once, found it twice")
        next(tokens)
        found[key] = _at_key(_value(tokens, inner, depth + 1), token.line)
    return found


def _at_key(place: Place, line: int) -> Place:
    """People look for the key, so its line is told, also where the value starts further down."""
    return Place(place.value, line, place.path)


def _list(tokens: Iterator[_Token], path: str, depth: int) -> list[Place]:
    found: list[Place] = []
    for token in tokens:
        if token.text == "]":
            break
        if token.text != ",":
            found.append(_after(token, tokens, f"{path}[{len(found)}]", depth + 1))
    return found
