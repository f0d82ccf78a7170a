"""The best plan of visits as a mixed-integer programme, solved by HiGHS inside scipy."""

from __future__ import annotations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from inspections.rules.visit_plan import Ask


class Programme:
    """Columns of zeros and ones, rows between two limits."""

    def __init__(self) -> None:
        self.costs: list[float] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []

    def column(self, cost: float) -> int:
        self.costs.append(cost)
        return len(self.costs) - 1

    def row(self, terms: dict[int, float], least: float, most: float) -> None:
        self.rows.append((terms, least, most))

    def least_cost(self) -> int:
        matrix = np.zeros((len(self.rows), len(self.costs)))
        for at, (terms, _, _) in enumerate(self.rows):
            for column, factor in terms.items():
                matrix[at, column] = factor
        limits = LinearConstraint(
            matrix, [row[1] for row in self.rows], [row[2] for row in self.rows]
        )
        one = np.ones(len(self.costs))
        found = milp(
            self.costs,
            constraints=limits,
            integrality=one,
            bounds=Bounds(0 * one, one),
            options={"mip_rel_gap": 0},
        )
        assert found.success, found.message
        return round(found.fun)


def best_cost(ask: Ask) -> int:  # noqa: C901, PLR0912 - one programme, written out
    """The least cost of any plan."""
    programme = Programme()
    here = {
        (who.key, day, site): programme.column(ask.visit_cost)
        for who in ask.inspectors
        for day in range(ask.days)
        for site in {piece.site for piece in ask.pieces}
    }
    for who in ask.inspectors:
        for day in range(ask.days):
            sites = {column: 1.0 for key, column in here.items() if key[:2] == (who.key, day)}
            programme.row(sites, 0, 1)
    loads: dict[tuple[int, int, int], dict[int, float]] = {key: {} for key in here}
    gone: dict[tuple[str, int], dict[int, int]] = {}
    for piece in ask.pieces:
        once = {programme.column(piece.minutes * ask.left_out_cost): 1.0}
        for who in ask.inspectors:
            for day in range(piece.due + 1):
                spans = who.rights.get(piece.need, ())
                if piece.barred == who.key or not any(a <= day <= b for a, b in spans):
                    continue
                column = programme.column(piece.minutes * (piece.due - day))
                once[column] = 1.0
                loads[who.key, day, piece.site][column] = piece.minutes
                if piece.group:
                    members = gone.setdefault((piece.group, day), {})
                    if piece.member not in members:
                        members[piece.member] = programme.column(0)
                    programme.row({members[piece.member]: 1.0, column: -1.0}, 0, 1)
        programme.row(once, 1, 1)
    minutes = {who.key: who.minutes for who in ask.inspectors}
    for (who_key, day, site), load in loads.items():
        room = {here[who_key, day, site]: -float(minutes[who_key][day])}
        programme.row({**load, **room}, -np.inf, 0)
    for (group, _), members in gone.items():
        programme.row(dict.fromkeys(members.values(), 1.0), 0, ask.most_out[group])
    return programme.least_cost()
