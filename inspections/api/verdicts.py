"""Whether an item may be used, as the API tells it: by the same rule and in the same words as pages."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from django.utils.translation import gettext_noop
from pydantic import Field

from inspections.rules.verdict import Verdict
from inspections.wording import verdict_sentence, what_to_do
from register.api.shapes import Day, Shape


class VerdictTold(Shape):
    """Usable or not on one day. Take nothing but ``usable: true`` for a yes."""

    usable: Annotated[bool, Field(examples=[True])]
    on: Annotated[Day, Field(description=gettext_noop("The day judged: today at the item’s site."))]
    through_on: Annotated[
        Day | None,
        Field(
            description=gettext_noop(
                "Last good day as things are now, the day itself included; null where it is not usable."
            ),
            examples=["2027-02-28"],
        ),
    ]
    code: Annotated[
        str,
        Field(
            description=gettext_noop("‘usable’, ‘usable-restricted’, or the one reason why not."),
            examples=["usable"],
        ),
    ]
    sentence: Annotated[
        str,
        Field(
            description=gettext_noop("The verdict in words, in the language asked for."),
            examples=["OK to use until 28 Feb 2027"],
        ),
    ]
    only_for: Annotated[
        str | None,
        Field(
            description=gettext_noop("The only use that its last pass left it; null for any."),
            examples=[None],
        ),
    ]
    what_to_do: Annotated[
        str | None,
        Field(
            description=gettext_noop("For whoever has it in the hand; null where it is usable."),
            examples=[None],
        ),
    ]


def verdict_told(verdict: Verdict, day: date) -> VerdictTold:
    return VerdictTold(
        usable=verdict.usable,
        on=day,
        through_on=verdict.through if verdict.usable else None,
        code=verdict.code,
        sentence=verdict_sentence(verdict),
        only_for=dict(verdict.facts).get("restricted_to") if verdict.usable else None,
        what_to_do=None if verdict.usable else what_to_do(verdict.code),
    )
