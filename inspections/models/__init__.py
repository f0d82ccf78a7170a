"""The tables of what was found."""

from inspections.models.checklists import ChecklistVersion
from inspections.models.due import Due, Regime
from inspections.models.events import Arrest, Event, EventAccount, EventItem
from inspections.models.inspections import Authorisation, Defect, Inspection
from inspections.models.intake import BroughtIn, Intake, RememberedColumn
from inspections.models.notices import Notice, NoticeMatch
from inspections.models.reports import Report
from inspections.models.rounds import Round, RoundLine
from inspections.models.sync import SentPhoto, SyncEvent
from inspections.models.visits import InspectionMinutes, InspectorHours, Visit, VisitTerms

__all__ = [
    "Arrest",
    "Authorisation",
    "BroughtIn",
    "ChecklistVersion",
    "Defect",
    "Due",
    "Event",
    "EventAccount",
    "EventItem",
    "Inspection",
    "InspectionMinutes",
    "InspectorHours",
    "Intake",
    "Notice",
    "NoticeMatch",
    "Regime",
    "RememberedColumn",
    "Report",
    "Round",
    "RoundLine",
    "SentPhoto",
    "SyncEvent",
    "Visit",
    "VisitTerms",
]
