"""Every list of this app; each long one can be made in the background."""

from readiness.lists.ahead import WEEKS_AHEAD
from readiness.lists.cover import COVER_DAYS, HANGS_ON, LAPSES, TREND
from readiness.lists.people import ROTA, TRAINING
from readiness.lists.tasks import JOBS, TASKS
from register.lists.long import entered

LISTS = entered(ROTA, TRAINING, TASKS, JOBS, COVER_DAYS, LAPSES, HANGS_ON, WEEKS_AHEAD, TREND)
