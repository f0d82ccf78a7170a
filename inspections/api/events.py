"""Events as a phone sends them, from another system."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext_noop
from ninja import Body, Router
from pydantic import Field

from inspections.rules.sent_events import MOST_EVENTS
from inspections.sync.replies import replied
from inspections.sync.taking_in import Sender, take_in
from register.api.calls import answered, call, caller_of
from register.api.once import ByEvent
from register.api.shapes import Moment, Shape, Text

router = Router(tags=["events"])


class EventsSent(Shape):
    """A lot of events, each as a phone writes it."""

    device: Annotated[
        Text, Field(max_length=40, description=gettext_noop("What sends."), examples=["bench-2"])
    ] = ""
    sent_at: Annotated[
        Moment | None,
        Field(description=gettext_noop("The sender’s own clock now; it tells how far it is off.")),
    ] = None
    events: Annotated[
        list[Any],
        Field(
            min_length=1,
            max_length=MOST_EVENTS,
            description=gettext_noop(
                "Each an object of ‘id’ (a UUID made once), ‘kind’, ‘claimed_at’, ‘user’ (the id"
                " that the call /token tells) and ‘body’. One that cannot be read is kept as text"
                " and answered as refused."
            ),
            examples=[
                [
                    {
                        "id": "0b6f2f52-6f5d-4f3e-9a3c-0f6f1d0e4a58",
                        "kind": "quarantine",
                        "claimed_at": "2026-11-20T09:30:00+00:00",
                        "user": 12,
                        "body": {"item": "H7K2PD3", "reason": "damage-found", "note": "cut edge"},
                    }
                ]
            ],
        ),
    ]


class EventAnswer(Shape):
    """What became of one event. Only an outcome other than ‘later’ says that it is safe here."""

    id: str
    outcome: Annotated[
        Literal["applied", "kept", "refused", "dropped", "waits", "later"],
        Field(
            description=gettext_noop(
                "‘applied’ on record; ‘kept’ and ‘refused’ wait for a person; ‘waits’ for what belongs"
                " to it; ‘later’ was not taken: send it again."
            )
        ),
    ]
    code: str
    sentence: str
    result: Annotated[str, Field(examples=["item:H7K2PD3"])]
    received_at: Moment | None


class ClockTold(Shape):
    """How far the sender’s clock is behind ours (negative: ahead)."""

    offset_seconds: int
    differs: bool
    may_differ_seconds: int


class EventsReply(Shape):
    received_at: Moment
    answered_at: Moment
    clock: ClockTold
    answers: Annotated[
        list[EventAnswer], Field(description=gettext_noop("One in the place of each event."))
    ]


@router.post(
    "/events",
    response=EventsReply,
    operation_id="events-send",
    summary=gettext_noop("Send events"),
    description=gettext_noop(
        "The same as a phone’s queue, with the same outcomes: each event is taken once by its id, in"
        " its own transaction, and judged by what the owner of the token may do where it happened."
        " Bad news takes effect whatever else is wrong with it. Photographs are not taken here: what"
        " waits for one waits for a person."
    ),
)
@call("sync.send", once=ByEvent(), cost=10)
def events_send(request: HttpRequest, sent: Body[EventsSent]) -> HttpResponse:
    caller = caller_of(request)
    sender = Sender(
        user=caller.user,
        may=caller.may,
        received_at=caller.at,
        device=f"api {caller.token.prefix} {sent.device}".strip(),
        sent_at=sent.sent_at,
    )
    reply = replied(take_in(sent.events, sender), sender)
    return answered(200, EventsReply.model_validate(reply))
