"""Work that takes long: begun once, stopped between steps, begun anew, fetched by its asker alone."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from io import BytesIO
from pathlib import Path

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse

from register import clock, errands, tasks
from register.access import NEEDS
from register.actions import errands as actions
from register.errands import Kind, Made, Step, enter_kind, kinds
from register.models import Entry, Errand, Role, Site, Stamp, User
from register.refusal import Refusal
from tests.factories import NOON, SiteFactory, user_as

pytestmark = pytest.mark.django_db
State = Errand.State
WORDS = b"forty labels"


def _counted(errand: Errand, step: Step) -> Made:
    for n in range(errand.given.get("steps", 3)):
        step(n, 3, "")
    return Made("labels.pdf", "application/pdf", BytesIO(WORDS))


def _broken(errand: Errand, step: Step) -> Made:
    raise Refusal("no-tag", "No tag is on record.") if errand.given else KeyError("code")


@pytest.fixture
def counting(monkeypatch: pytest.MonkeyPatch) -> Kind:
    """A kind of the test's own; progress is kept at each step."""
    monkeypatch.setattr(errands, "_KINDS", dict(errands._KINDS))
    monkeypatch.setattr(tasks, "PAUSE", timedelta(0))
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    enter_kind(Kind(name="broken", need="label.print", words=lambda _: "Broken", run=_broken))
    return enter_kind(
        Kind(name="count", need="label.print", words=lambda _: "Labels", run=_counted)
    )


def stamp(user: User) -> Stamp:
    return Stamp(by=user, at=NOON)


def waiting(kind: str, user: User, site: Site, **given: object) -> Errand:
    """Asked for, and no worker has it yet."""
    asked, _ = actions.ask_for(
        kind, given, by=user, sites=[site], language="en-gb", stamp=stamp(user)
    )
    return asked


def done(user: User, site: Site, kind: Kind) -> Errand:
    made = tasks.ask(kind, {}, by=user, sites=[site], stamp=stamp(user))
    made.refresh_from_db()
    assert made.state == State.DONE
    return made


def as_user(user: User) -> Client:
    client = Client()
    client.force_login(user)
    return client


def test_the_result_is_the_file_that_was_made_with_its_own_hash(
    counting: Kind, petra: User, site: Site
) -> None:
    made = done(petra, site, counting)
    answer = as_user(petra).get(reverse("register:errand-result", args=[made.pk]))
    assert b"".join(answer.streaming_content) == WORDS  # type: ignore[attr-defined]
    assert made.sha256 == hashlib.sha256(WORDS).hexdigest()
    assert answer["Content-Disposition"] == 'attachment; filename="labels.pdf"'
    facts = Entry.objects.filter(thing_kind="errand", thing_id=str(made.pk)).last()
    assert facts is not None
    assert facts.facts == {"sha256": made.sha256, "size": len(WORDS)}


def test_the_same_asked_for_twice_is_one_errand(petra: User, site: Site) -> None:
    first = waiting("count", petra, site, of=1)
    assert waiting("count", petra, site, of=1) == first
    assert waiting("count", petra, site, of=2) != first


def test_one_of_two_workers_begins(petra: User, site: Site) -> None:
    asked = waiting("count", petra, site)
    assert actions.begin_errand(asked.pk, 1, at=NOON)
    assert actions.begin_errand(asked.pk, 1, at=NOON) is None


def test_a_stopped_errand_leaves_no_result(counting: Kind, petra: User, site: Site) -> None:
    """Stopped between two steps, by somebody at the page while the worker counts."""

    def _stopped_in_between(errand: Errand, step: Step) -> Made:
        step(1, 3)
        actions.stop_errand(errand, stamp=stamp(petra).again())
        step(2, 3)
        raise AssertionError("the second step goes on")

    kind = Kind(name="long", need="label.print", words=lambda _: "L", run=_stopped_in_between)
    enter_kind(kind)
    asked = tasks.ask(kind, {}, by=petra, sites=[site], stamp=stamp(petra))
    asked.refresh_from_db()
    assert (asked.state, asked.file.name, asked.done) == (State.STOPPED, "", 1)


def test_a_worker_that_was_overtaken_writes_nothing(petra: User, site: Site) -> None:
    """Its worker was silent for two minutes, the errand was asked for again, and then it wakes."""
    slow = actions.begin_errand(waiting("count", petra, site).pk, 1, at=NOON)
    assert slow
    later = Stamp(by=petra, at=NOON + timedelta(minutes=2))
    actions.ask_again(slow, stamp=later)
    assert not actions.move_errand(slow, 2, 3, "", at=later.at)
    week = timedelta(days=7)
    ended = actions.finish_errand(
        slow, WORDS, name="a.pdf", content_type="application/pdf", keep=week, stamp=later.again()
    )
    slow.refresh_from_db()
    assert (ended, slow.state, slow.attempt, slow.file.name) == (False, State.ASKED, 2, "")


def test_what_moves_is_not_asked_for_again(petra: User, site: Site) -> None:
    asked = actions.begin_errand(waiting("count", petra, site).pk, 1, at=NOON)
    assert asked
    soon = Stamp(by=petra, at=NOON + timedelta(seconds=119))
    with pytest.raises(Refusal, match="being worked on"):
        actions.ask_again(asked, stamp=soon)


def test_a_refusal_is_told_in_its_own_words_and_an_error_in_ours(
    counting: Kind, petra: User, site: Site
) -> None:
    kind = kinds()["broken"]
    refused = tasks.ask(kind, {"a": 1}, by=petra, sites=[site], stamp=stamp(petra))
    broken = tasks.ask(kind, {}, by=petra, sites=[site], stamp=stamp(petra).again())
    refused.refresh_from_db()
    broken.refresh_from_db()
    assert (refused.state, refused.sentence) == (State.FAILED, "No tag is on record.")
    assert broken.state == State.FAILED
    assert "administrator" in broken.sentence


def test_a_result_is_for_its_asker_alone(counting: Kind, petra: User, site: Site) -> None:
    made = done(petra, site, counting)
    other = as_user(user_as(Role.STORES, username="second"))
    for page in ("detail", "result"):
        assert other.get(reverse(f"register:errand-{page}", args=[made.pk])).status_code == 404


def test_a_result_is_refused_to_who_lost_the_role_at_one_of_its_sites(
    counting: Kind, site: Site
) -> None:
    sites = [site, SiteFactory()]
    user = user_as(Role.STORES, sites[0])
    user.grants.create(role=Role.STORES, site=sites[1])
    made = tasks.ask(counting, {}, by=user, sites=sites, stamp=stamp(user))
    path = reverse("register:errand-result", args=[made.pk])
    assert as_user(user).get(path).status_code == 200
    user.grants.filter(site=sites[1]).delete()
    assert as_user(user).get(path).status_code == 403


def test_an_expired_result_is_not_given_and_its_file_goes(
    counting: Kind, petra: User, site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = done(petra, site, counting)
    file = Path(made.file.path)
    over = NOON + timedelta(days=7)
    monkeypatch.setattr(clock, "reading", lambda: over)
    answer = as_user(petra).get(reverse("register:errand-result", args=[made.pk]))
    assert answer.status_code == 302
    assert file.exists()
    assert actions.take_off_expired(at=over) == 1
    assert not file.exists()


def test_a_result_that_was_changed_on_the_disk_is_not_given(
    counting: Kind, petra: User, site: Site
) -> None:
    made = done(petra, site, counting)
    Path(made.file.path).write_bytes(b"other words!")
    page = as_user(petra).get(reverse("register:errand-result", args=[made.pk]), follow=True)
    assert "missing or damaged" in page.content.decode()


def test_the_page_says_that_no_worker_runs(
    counting: Kind, petra: User, site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = waiting("count", petra, site)
    path = asked.get_absolute_url()
    assert "db_worker" not in as_user(petra).get(path).content.decode()
    monkeypatch.setattr(clock, "reading", lambda: NOON + timedelta(minutes=2))
    assert "is db_worker running?" in as_user(petra).get(path).content.decode()


def test_one_user_has_no_more_than_twenty_open(petra: User, site: Site) -> None:
    for n in range(20):
        waiting("count", petra, site, of=n)
    with transaction.atomic(), pytest.raises(Refusal, match="20 errands open"):
        waiting("count", petra, site, of=20)


def test_every_kind_names_a_need_of_the_table() -> None:
    assert [kind.name for kind in kinds().values() if kind.need not in NEEDS] == []
