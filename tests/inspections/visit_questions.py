"""Questions for the levelling of visits, a checker of answers, and the same question asked of an
integer programme, all written apart from the search."""

from __future__ import annotations

import random
from collections import Counter, defaultdict

from inspections.rules.visit_plan import Ask, Inspector, Piece, Plan


def random_question(seed: int, pieces: int = 8, days: int = 6) -> Ask:
    """A few sites and inspectors, tight hours, rights that end, scarce things and own things."""
    lot = random.Random(seed)  # noqa: S311
    inspectors = []
    for key in range(1, lot.randint(1, 2) + 1):
        minutes = tuple(lot.choice((0, 30, 45, 60)) for _ in range(days))
        rights = {
            need: ((lot.randint(0, 1), lot.randint(days - 3, days - 1)),)
            for need in ("webbing", "kit")
            if key == 1 or lot.random() < 0.6
        }
        inspectors.append(Inspector(key, minutes, rights))
    sites = lot.randint(1, 3)
    made = []
    for key in range(lot.randint(2, pieces)):
        site, kit = lot.randint(1, sites), lot.random() < 0.35
        made.append(
            Piece(
                key=key,
                site=site,
                minutes=lot.choice((15, 20)) if kit else lot.choice((2, 4, 8)),
                due=lot.randint(0, days - 1),
                need="kit" if kit else "webbing",
                barred=1 if lot.random() < 0.05 else 0,
                group=f"kits {site}" if kit else "",
                member=lot.randint(1, 2) if kit else 0,
            )
        )
    most_out = {f"kits {site}": 1 for site in range(1, sites + 1)}
    return Ask(tuple(made), tuple(inspectors), days, lot.choice((10, 60, 200)), most_out)


def faults(ask: Ask, plan: Plan) -> list[str]:
    """Everything about the plan that is not as it must be."""
    pieces = {piece.key: piece for piece in ask.pieces}
    people = {who.key: who for who in ask.inspectors}
    told = []
    times = Counter([key for visit in plan.visits for key in visit.pieces] + [*plan.left_out])
    told += [f"piece {key} stands {times[key]} times" for key in pieces if times[key] != 1]
    days = Counter((visit.inspector, visit.day) for visit in plan.visits)
    told += [f"two sites on {day}" for day, number in days.items() if number > 1]
    out: dict[tuple[str, int], set[int]] = defaultdict(set)
    for visit in plan.visits:
        who, inside = people[visit.inspector], [pieces[key] for key in visit.pieces]
        if sum(one.minutes for one in inside) > who.minutes[visit.day]:
            told.append(f"{visit} is over-full")
        for one in inside:
            if one.site != visit.site:
                told.append(f"{one} is elsewhere")
            if visit.day > one.due or visit.day < 0:
                told.append(f"{one} is late")
            spans = who.rights.get(one.need, ())
            if one.barred == who.key or not any(a <= visit.day <= b for a, b in spans):
                told.append(f"{one} is not for {who.key}")
            if one.group:
                out[one.group, visit.day].add(one.member)
    told += [f"{of} all out" for of, gone in out.items() if len(gone) > ask.most_out[of[0]]]
    return told


def own_cost(ask: Ask, plan: Plan) -> int:
    """The cost, reckoned again from the visits."""
    pieces = {piece.key: piece for piece in ask.pieces}
    early = [
        pieces[key].minutes * (pieces[key].due - visit.day)
        for visit in plan.visits
        for key in visit.pieces
    ]
    left_out = sum(pieces[key].minutes for key in plan.left_out)
    return len(plan.visits) * ask.visit_cost + sum(early) + left_out * ask.left_out_cost


MINUTES = {"harness": 4, "lanyard": 2, "connector": 1, "retractable": 8, "anchor": 15, "kit": 45}


def region(seed: int, pieces: int = 2000, sites: int = 8, people: int = 6, days: int = 91) -> Ask:
    """Sites gone round in four parts each, with strays; the last inspector does anchors alone."""
    lot = random.Random(seed)  # noqa: S311
    inspectors = []
    for key in range(1, people + 1):
        weekdays = sorted(lot.sample(range(5), lot.randint(2, 5)))
        needs = ["harness", "lanyard", "connector", "retractable"] + ["kit"] * (key < people - 2)
        rights = dict.fromkeys(["anchor"] if key == people else needs, ((0, 400),))
        minutes = tuple(240 if day % 7 in weekdays else 0 for day in range(days))
        inspectors.append(Inspector(key, minutes, rights))
    rounds = [[lot.randint(10, days - 1) for _ in range(4)] for _ in range(sites)]
    made = []
    for key in range(pieces):
        site = lot.randrange(sites)
        need = lot.choices(list(MINUTES), (40, 25, 20, 8, 5, 2))[0]
        stray = lot.random() < 0.3
        due = lot.randint(10, days - 1) if stray else lot.choice(rounds[site])
        kit = need == "kit"
        group = f"kits {site}" if kit else ""
        made.append(Piece(key, site, MINUTES[need], due, need, 0, group, key if kit else 0))
    most_out = {f"kits {site}": 3 for site in range(sites)}
    return Ask(tuple(made), tuple(inspectors), days, 90 * 182, most_out)
