"""Whether statements of cover are brought up to date by themselves."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db.models import Max, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from readiness.board.keeping import lacking
from readiness.models import KeptStatement, RotaFeed
from register.watching import Found, enter_watch
from register.wording import shown_number

WITHIN = timedelta(minutes=5)
SILENT = timedelta(days=1)


def keeper(at: datetime) -> Found:
    """Sites whose facts are newer than what is stated of them, where nobody was judged for minutes."""
    behind = sum(1 for _site in lacking(at))
    if not behind:
        return Found(
            well=True, sentence=_("What is stated of every site goes by its facts of now.")
        )
    latest = KeptStatement.objects.aggregate(latest=Max("made_at"))["latest"]
    at_work = latest is not None and at - latest <= WITHIN
    said = ngettext(
        "%(count)s site waits to be judged anew. Is manage.py keep_cover running?",
        "%(count)s sites wait to be judged anew. Is manage.py keep_cover running?",
        behind,
    )
    return Found(at_work, said % {"count": shown_number(behind)})


def calendars(at: datetime) -> Found:
    """Calendars that a rota follows and that gave no good answer for a day."""
    followed = RotaFeed.objects.followed().filter(followed_at__lt=at - SILENT)
    silent = followed.filter(Q(answered_at=None) | Q(answered_at__lt=at - SILENT)).count()
    if not silent:
        return Found(well=True, sentence=_("Every calendar that a rota follows answers."))
    said = ngettext(
        "%(count)s calendar of a rota gave no good answer for a day. Is manage.py fetch_rotas running?",
        "%(count)s calendars of rotas gave no good answer for a day. Is manage.py fetch_rotas running?",
        silent,
    )
    return Found(well=False, sentence=said % {"count": shown_number(silent)})


enter_watch(gettext_noop("Rescue cover"), keeper)
enter_watch(gettext_noop("Calendars of the rota"), calendars)
