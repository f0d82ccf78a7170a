"""The rescue sheets of a site for a phone: what serves each task, from when until when."""

from __future__ import annotations

from datetime import datetime

from readiness.board.answers import told
from readiness.board.standings import standings
from readiness.rules.statement import Names, Piece
from register.models import Site


def rescue_sheets(site: Site, first: datetime, last: datetime) -> dict[str, object]:
    """Every task worked on within the window. Not ``fresh``: say that cover is not known."""
    (standing,) = standings([site], first)
    statement = standing.statement
    return {
        "fresh": standing.fresh,
        "made_at": statement.made_at.isoformat(),
        "tasks": [
            {
                "task": task,
                "name": statement.names.tasks.get(task, task),
                "zone": statement.names.zones.get(task, ""),
                "pieces": [
                    _piece(piece, statement.names)
                    for piece in statement.pieces(task, first, last)
                    if piece.answer
                ],
            }
            for task in statement.tasks(first, last)
        ],
    }


def _piece(piece: Piece, names: Names) -> dict[str, object]:
    """One stretch of time with one answer; what is empty is left out."""
    if piece.answer is None:
        return {}
    found = told(piece.answer, names)
    said: dict[str, object] = {
        "from": piece.begins.isoformat(),
        "until": piece.ends.isoformat(),
        "state": found.state,
        "words": found.state_words,
        "why_not": list(found.reasons),
        "missing": list(found.missing),
        "hangs_on": list(found.hangs_on),
    }
    if serves := found.serves:
        said |= {
            "kit": serves.kit,
            "people": list(serves.people),
            "anchor": serves.anchor,
            "first_aiders": list(serves.first_aiders),
            "minutes": serves.minutes,
        }
    return {name: value for name, value in said.items() if value not in ([], "")}
