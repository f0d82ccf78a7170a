"""What may be changed about a site, as plain values, and the site's cover with changes applied."""

from readiness.rules.changes.kits import (
    KitArrives,
    KitExamined,
    KitFilled,
    KitLeaves,
    KitMoved,
    KitReleased,
    KitResealed,
    KitTaken,
    KitWithKey,
)
from readiness.rules.changes.over_time import Change, Dated, changed, changed_spans
from readiness.rules.changes.people import (
    AnchorExamined,
    AnchorInstalled,
    AnchorTaken,
    PersonOn,
    PersonTaken,
    TicketHeld,
)
from readiness.rules.changes.plans import DrillDone, PlanReviewed, PlanWritten, StopWorkLinked
from readiness.rules.changes.tasks import (
    FirstCall,
    SumsRedone,
    SystemChanged,
    TaskAs,
    TaskMoved,
    TaskStopped,
)

__all__ = [
    "AnchorExamined",
    "AnchorInstalled",
    "AnchorTaken",
    "Change",
    "Dated",
    "DrillDone",
    "FirstCall",
    "KitArrives",
    "KitExamined",
    "KitFilled",
    "KitLeaves",
    "KitMoved",
    "KitReleased",
    "KitResealed",
    "KitTaken",
    "KitWithKey",
    "PersonOn",
    "PersonTaken",
    "PlanReviewed",
    "PlanWritten",
    "StopWorkLinked",
    "SumsRedone",
    "SystemChanged",
    "TaskAs",
    "TaskMoved",
    "TaskStopped",
    "TicketHeld",
    "changed",
    "changed_spans",
]
