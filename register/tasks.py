"""Work in the background: errands of every app, and the kinds of this one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import transaction
from django.utils import translation
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext
from django_tasks import task

from register import clock, labels
from register.actions import errands
from register.actions.ledger import verify_ledger
from register.documents import batch
from register.errands import Kind, Made, Step, Stopped, enter_kind, kind_of
from register.models import Errand, Item, Site, Stamp, User
from register.refusal import Refusal
from register.rules.label_grid import Sheet

PAUSE = timedelta(milliseconds=500)  # at least, between two times that progress is kept


_BROKEN = gettext_noop(
    "The program stopped with an error, which the administrator finds in its log. Ask again;"
    " if it stops again, tell the administrator."
)


@transaction.atomic
def ask(
    kind: Kind, given: Mapping[str, object], *, by: User, sites: Iterable[Site], stamp: Stamp
) -> Errand:
    """Ask for an errand and put it in the worker's queue, both or neither.

    The same asked for again while it is open is the same errand: nothing is done twice.
    """
    errands.take_off_expired(at=stamp.at)
    language = translation.get_language() or settings.LANGUAGE_CODE
    errand, fresh = errands.ask_for(
        kind.name, given, by=by, sites=sites, language=language, stamp=stamp
    )
    if fresh:
        run_errand.enqueue(errand.pk, errand.attempt)
    return errand


@transaction.atomic
def ask_again(errand: Errand, *, stamp: Stamp) -> Errand:
    """Put it in the queue once more; whoever had it before is overtaken."""
    errand = errands.ask_again(errand, stamp=stamp)
    run_errand.enqueue(errand.pk, errand.attempt)
    return errand


@task()
def run_errand(pk: int, attempt: int) -> None:
    """Do the errand, unless another worker has it or it was stopped; whatever goes wrong is told."""
    errand = errands.begin_errand(pk, attempt, at=clock.now())
    if errand is None:
        return
    with translation.override(errand.language):
        _done_or_told(errand)


def _done_or_told(errand: Errand) -> None:
    try:
        _finish(errand, *_made(errand))
    except Stopped:
        return
    except Refusal as refusal:
        errands.fail_errand(errand, refusal.sentence, stamp=_stamp(errand))
    except Exception:
        errands.fail_errand(errand, _(_BROKEN), stamp=_stamp(errand))
        raise


def _made(errand: Errand) -> tuple[Kind, Made]:
    kind = kind_of(errand)
    if kind is None:
        told = _("This version of the program does not know this kind of work. Ask for it anew.")
        raise Refusal("unknown-kind", told)
    return kind, kind.run(errand, _step_of(errand))


def _finish(errand: Errand, kind: Kind, made: Made) -> None:
    errands.finish_errand(
        errand,
        made.content,
        name=made.name,
        content_type=made.content_type,
        keep=kind.kept_for,
        stamp=_stamp(errand),
    )


def _step_of(errand: Errand) -> Step:
    """What a kind calls to tell how far it is; kept twice a second at the most."""
    kept_at: datetime | None = None

    def step(done: int, total: int, sentence: str = "") -> None:
        nonlocal kept_at
        now = clock.now()
        if kept_at is not None and now - kept_at < PAUSE:
            return
        if not errands.move_errand(errand, done, total, sentence, at=now):
            raise Stopped
        kept_at = now

    return step


def _stamp(errand: Errand) -> Stamp:
    return Stamp(by=errand.asked_by, at=clock.now(), device="background")


def _labels_in_words(given: Mapping[str, Any]) -> str:
    number = len(given.get("items", ()))
    return ngettext("%(number)s label", "%(number)s labels", number) % {"number": number}


def _labels(errand: Errand, step: Step) -> Made:
    """The labels of the items in the order given, from the tags that they have now."""
    given = errand.given
    visible = Item.objects.visible_to(errand.asked_by).with_product()
    found = visible.filter(site__in=errand.sites.all()).in_bulk(given["items"])
    gone = len(given["items"]) - len(found)
    if gone:
        told = ngettext(
            "%(number)s item has left your sites since. Choose the items anew.",
            "%(number)s items have left your sites since. Choose the items anew.",
            gone,
        )
        raise Refusal("items-gone", told % {"number": gone})
    wanted = labels.labels_of([found[pk] for pk in given["items"]])
    total = len(wanted)
    step(0, total)
    paper = labels.label_sheet(
        wanted, Sheet(**given["sheet"]), given["used"], told=lambda drawn: step(drawn, total)
    )
    return Made(f"labels-{total}.pdf", "application/pdf", paper)


LABELS = enter_kind(Kind(name="labels", need="label.print", words=_labels_in_words, run=_labels))


def _verified(errand: Errand, step: Step) -> Made:
    """Every chain of the ledger read; the misfits, or that there are none, as a text."""
    step(0, 1)
    report = verify_ledger()
    told = [
        _("%(entries)s entries in %(chains)s chains were read.")
        % {"entries": report.entries, "chains": report.chains},
        *(_("Does not fit: %(misfit)s") % {"misfit": misfit} for misfit in report.misfits),
        *([] if report.misfits else [_("Every chain fits.")]),
    ]
    step(1, 1, told[-1])
    return Made("ledger.txt", "text/plain; charset=utf-8", "\n".join(told).encode())


VERIFYING = enter_kind(
    Kind(
        name="verify-ledger",
        need="ledger.verify",
        words=lambda _given: _("Verify the ledger"),
        run=_verified,
    )
)


def _papers(errand: Errand, step: Step) -> Made:
    return batch.issue_all(errand, step, lambda: _stamp(errand))


PAPERS = enter_kind(Kind(name="papers", need="paper.issue", words=batch.words_of, run=_papers))
