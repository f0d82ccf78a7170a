"""The tables of rescue readiness."""

from readiness.models.calls import RescueCall, ShiftSheet
from readiness.models.checks import CoverChange, CoverCheck
from readiness.models.feeds import RotaFeed
from readiness.models.kits import CoverPolicy, KitAbility
from readiness.models.past import PastShift
from readiness.models.people import FAMILIES, FAMILY_CHOICES, Competence, RotaEntry, family_name
from readiness.models.permits import Permit
from readiness.models.remedies import CourseDate, Job, RemedyTerms, SiteTravel
from readiness.models.statements import KeptStatement
from readiness.models.sums import TaskSums
from readiness.models.tasks import Drill, Exposure, Plan, Task

__all__ = [
    "FAMILIES",
    "FAMILY_CHOICES",
    "Competence",
    "CourseDate",
    "CoverChange",
    "CoverCheck",
    "CoverPolicy",
    "Drill",
    "Exposure",
    "Job",
    "KeptStatement",
    "KitAbility",
    "PastShift",
    "Permit",
    "Plan",
    "RemedyTerms",
    "RescueCall",
    "RotaEntry",
    "RotaFeed",
    "ShiftSheet",
    "SiteTravel",
    "Task",
    "TaskSums",
    "family_name",
]
