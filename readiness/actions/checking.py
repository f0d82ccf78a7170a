"""What several actions ask before they keep a row."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Protocol

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext as _

from register.clock import day_at
from register.models import Site, Stamp
from register.refusal import Refusal
from register.wording import shown_day


class OfASite(Protocol):
    """A zone, a shift or an item: a row that belongs to one site."""

    @property
    def site_id(self) -> int: ...


def refuse_unless_valid(row: models.Model) -> None:
    """The model's own checks, told as one sentence."""
    try:
        row.full_clean()
    except ValidationError as error:
        raise Refusal("not-valid", " ".join(_sentences(row, error))) from error


def _sentences(row: models.Model, error: ValidationError) -> Iterable[str]:
    for name, messages in error.message_dict.items():
        said = " ".join(messages)
        if name == "__all__":
            yield said
        else:
            field = row._meta.get_field(name)  # noqa: SLF001 - Django documents it as public
            label = str(getattr(field, "verbose_name", name))
            yield f"{label[:1].upper()}{label[1:]}: {said}"


def refuse_other_site(rows: Iterable[OfASite], site: Site | int) -> None:
    """A zone, shift or anchor of another site serves nobody here."""
    at = site.pk if isinstance(site, Site) else site
    strange = [str(row) for row in rows if row.site_id != at]
    if strange:
        raise Refusal(
            "other-site",
            _("%(strange)s: not of this site. Choose one of this site.")
            % {"strange": ", ".join(strange)},
        )


def refuse_future(day: date, *, what: str, site: Site, stamp: Stamp) -> None:
    """What is recorded has happened: no day after the site's own today."""
    today = day_at(site, stamp.at)
    if day > today:
        raise Refusal(
            "in-the-future",
            _("%(what)s cannot be on %(day)s: at %(site)s it is %(day2)s.")
            % {"what": what, "day": shown_day(day), "site": site, "day2": shown_day(today)},
        )
