"""What if: a situation as it is or might be, judged by the same code as the command ``what_if``."""

from __future__ import annotations

import re
from typing import Annotated, Any

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from ninja import Body, Router
from pydantic import Field

from readiness.rules.json_places import MalformedFile
from readiness.rules.what_if_answers import answered
from register.api.calls import call
from register.api.edge import too_large
from register.api.mistakes import pointer_to
from register.api.problems import Mistake, Problem
from register.api.shapes import Shape

router = Router(tags=["what-if"])

MOST_SCENARIOS = 10
MOST_THINGS = 100  # tasks, kits, people and anchors of all scenarios together
MOST_DAYS = 366
MOST_BYTES = 100_000
"""What is answered within seconds; more is for the command, which has no limit."""

_EXAMPLE = {
    "id": "spare kit gone",
    "on": "2026-11-20",
    "kits": [],
    "people": [],
    "anchors": [],
    "tasks": [{"id": "t-1", "zone": "roof", "system": "arrest"}],
}


class WhatIfSent(Shape):
    """A what-if file, as ``manage.py what_if`` takes it. Lengths in m, masses in kg, times in min."""

    policy: Annotated[
        dict[str, Any] | None,
        Field(
            description=gettext_noop(
                "Months, minutes and kilograms to judge by; the usual ones where not given."
            ),
            examples=[{"drill_months": 6}],
        ),
    ] = None
    scenarios: Annotated[
        list[dict[str, Any]],
        Field(
            min_length=1,
            max_length=MOST_SCENARIOS,
            description=gettext_noop(
                "Each with its ‘id’, its day ‘on’, kits, people, anchors and tasks."
            ),
            examples=[[_EXAMPLE]],
        ),
    ]


class WhatIfAnswer(Shape):
    """One task; a key is there only where it applies."""

    state: Annotated[str, Field(examples=["not-covered"])]
    hangs_on: Annotated[list[str] | None, Field(examples=[None])] = None
    lapses_on: Annotated[str | None, Field(examples=[None])] = None
    lapse_reasons: Annotated[list[str] | None, Field(examples=[None])] = None
    reasons: Annotated[list[str] | None, Field(examples=[["no-plan", "no-kit"]])] = None
    missing: Annotated[list[str] | None, Field(examples=[None])] = None


class WhatIfAnswers(Shape):
    scenarios: Annotated[
        dict[str, dict[str, WhatIfAnswer]],
        Field(
            description=gettext_noop("By the id of the scenario, then of the task."),
            examples=[
                {"spare kit gone": {"t-1": {"state": "not-covered", "reasons": ["no-plan"]}}}
            ],
        ),
    ]


@router.post(
    "/what-if",
    response=WhatIfAnswers,
    operation_id="what-if",
    exclude_none=True,
    summary=gettext_noop("Judge a situation that might be"),
    description=gettext_noop(
        "Nothing of the register is read or changed. At most ten scenarios, with a hundred tasks, kits,"
        " people and anchors in all, 366 days ahead and 100 kB; counts as 60 requests."
    ),
)
@call("cover.see", cost=60)
def what_if(request: HttpRequest, sent: Body[WhatIfSent]) -> WhatIfAnswers:
    if len(request.body) > MOST_BYTES:
        raise too_large(MOST_BYTES)
    _refuse_large(sent.scenarios)
    try:
        found = answered(request.body.decode())
    except MalformedFile as wrong:
        raise _problem_of(wrong) from wrong
    return WhatIfAnswers.model_validate({"scenarios": found})


def _refuse_large(scenarios: list[dict[str, Any]]) -> None:
    """What would keep one of the server's threads at work for longer than anybody waits."""
    kinds = ("tasks", "kits", "people", "anchors")
    lists = [scenario.get(kind) for scenario in scenarios for kind in kinds]
    if sum(len(one) for one in lists if isinstance(one, list)) > MOST_THINGS:
        detail = _("There are at most %(n)d tasks, kits, people and anchors in all.")
        raise _misplaced(["scenarios"], detail % {"n": MOST_THINGS})
    for place, scenario in enumerate(scenarios):
        days = scenario.get("horizon_days")
        if isinstance(days, int) and days > MOST_DAYS:
            detail = _("At most %(n)d days are looked ahead here.") % {"n": MOST_DAYS}
            raise _misplaced(["scenarios", place, "horizon_days"], detail)


def _misplaced(way: list[str | int], detail: str) -> Problem:
    mistake: Mistake = {"pointer": pointer_to(way), "detail": detail}
    return Problem("unsound", detail, errors=[mistake])


def _problem_of(wrong: MalformedFile) -> Problem:
    """The reader's own sentence, with its line; and the place as a JSON pointer."""
    return _misplaced(re.findall(r"[^.\[\]]+", wrong.key), str(wrong))
