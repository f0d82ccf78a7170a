"""The tables of what was found."""

from inspections.models.due import Due, Regime
from inspections.models.inspections import Arrest, Authorisation, Defect, Inspection

__all__ = ["Arrest", "Authorisation", "Defect", "Due", "Inspection", "Regime"]
