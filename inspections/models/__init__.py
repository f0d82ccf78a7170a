"""The tables of what was found."""

from inspections.models.checklists import ChecklistVersion
from inspections.models.due import Due, Regime
from inspections.models.inspections import Arrest, Authorisation, Defect, Inspection
from inspections.models.intake import BroughtIn, Intake, RememberedColumn

__all__ = [
    "Arrest",
    "Authorisation",
    "BroughtIn",
    "ChecklistVersion",
    "Defect",
    "Due",
    "Inspection",
    "Intake",
    "Regime",
    "RememberedColumn",
]
