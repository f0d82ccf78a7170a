"""Tokens of other systems: shown once, never beyond their owner, and dead when they should be."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from register import clock
from register.actions.signing_in import close_login
from register.actions.tokens import MOST_OPEN, make_token, revoke_token
from register.actions.users import reopen_user
from register.api import bearer
from register.models import AccessToken, Act, Grant, Role, Site, User
from register.refusal import Refusal
from register.rules.tokens import MOST_DAYS, TOKEN_NEEDS, hash_of, narrowed, new_token, read_token
from tests.api_callers import LAST_DAY, Asker, asker, token_of
from tests.factories import DAY, NOON, ItemFactory, SiteFactory, stamp, user_as

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


def status(text: str) -> int:
    return Asker(text).get("/token").status_code


def test_a_token_reads_back_as_it_was_written() -> None:
    written = new_token()
    assert read_token(str(written)) == written
    assert len(written.secret) >= 43  # 256 bits in base64


@pytest.mark.parametrize(
    "text", ["", "tallyhook_", "tallyhook_ABC", "tallyhook_H7K2PD3C_", "other_H7K2PD3C_x", "ä_b_c"]
)
def test_what_is_no_token_is_not_read_as_one(text: str) -> None:
    assert read_token(text) is None


def test_the_secret_is_kept_nowhere(petra: User) -> None:
    written = read_token(token_of(petra))
    assert written is not None
    row = AccessToken.objects.get()
    assert row.secret_hash == hash_of(written.secret)
    assert written.secret not in str(AccessToken.objects.values().get())


def test_a_token_never_holds_a_role_where_its_owner_has_none() -> None:
    held = frozenset({("worker", 1), ("stores-controller", None)})
    assert narrowed(held, [2]) == {("stores-controller", 2)}
    assert narrowed(held, [1, 2]) == {
        ("worker", 1),
        ("stores-controller", 1),
        ("stores-controller", 2),
    }
    assert narrowed(held, []) == frozenset()


def test_a_token_works_until_the_end_of_its_last_day(
    petra: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = token_of(petra, through_on=DAY)
    assert status(text) == 200
    monkeypatch.setattr(clock, "reading", lambda: NOON + timedelta(hours=11, minutes=59))
    assert status(text) == 200
    monkeypatch.setattr(clock, "reading", lambda: NOON + timedelta(hours=12))
    assert status(text) == 401


def test_a_wrong_secret_under_a_right_prefix_is_as_unknown_as_a_wrong_prefix(petra: User) -> None:
    text = token_of(petra)
    other = Asker(text[:-1] + ("A" if text[-1] != "A" else "B")).get("/token")
    unknown = Asker(str(new_token())).get("/token")
    assert other.status_code == unknown.status_code == 401
    assert other.json() == unknown.json()
    assert "invalid_token" in other["WWW-Authenticate"]


def test_a_secret_is_compared_also_where_no_token_has_the_prefix(
    petra: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    compared = []
    monkeypatch.setattr(
        bearer.secrets, "compare_digest", lambda one, other: bool(compared.append((one, other)))
    )
    status(token_of(petra))
    status(str(new_token()))
    status("nothing like a token")
    assert len(compared) == 3
    assert {len(side) for pair in compared for side in pair} == {64}


def test_a_revoked_token_is_dead_from_the_next_request_on(petra: User) -> None:
    text = token_of(petra)
    assert status(text) == 200
    revoke_token(AccessToken.objects.get(), stamp=stamp(petra))
    assert status(text) == 401
    with pytest.raises(Refusal, match="revoked already"):
        revoke_token(AccessToken.objects.get(), stamp=stamp(petra))


def test_a_closed_users_tokens_are_dead_and_stay_so_when_they_come_back(petra: User) -> None:
    text = token_of(petra)
    close_login(petra, stamp(petra))
    assert status(text) == 401
    reopen_user(petra, password="a-long-new-password", stamp=stamp(petra))
    User.objects.update(has_first_password=False)
    assert status(text) == 401


def test_whoever_has_left_has_no_token(petra: User) -> None:
    text = token_of(petra)
    assert petra.person
    petra.person.left_on = DAY
    petra.person.save()
    assert status(text) == 401


def test_a_first_password_opens_nothing(petra: User) -> None:
    text = token_of(petra)
    User.objects.update(has_first_password=True)
    assert status(text) == 401


def test_a_role_taken_away_is_gone_from_the_token_at_once(site: Site, petra: User) -> None:
    system = asker(petra)
    item = ItemFactory(site=site)
    assert system.get(f"/items/{item.code}").status_code == 200
    Grant.objects.filter(user=petra).delete()
    assert system.get(f"/items/{item.code}").status_code == 403
    assert system.get("/token").json()["needs"] == []


def test_a_token_sees_its_own_sites_alone(site: Site, petra: User) -> None:
    here, there = ItemFactory(site=site), ItemFactory(site=SiteFactory())
    system = asker(petra, sites=[site])
    assert system.get(f"/items/{here.code}").status_code == 200
    assert system.get(f"/items/{there.code}").status_code == 404
    assert [one["tag"] for one in system.get("/items").json()["items"]] == [here.code]
    assert system.get("/token").json()["sites"] == [site.code]


def test_a_token_does_only_what_it_was_made_for(item: object, petra: User) -> None:
    system = asker(petra, "site.see")
    answer = system.get("/items")
    assert answer.status_code == 403
    assert answer.json()["code"] == "token"
    assert system.get("/sites").status_code == 200


def test_a_cookie_opens_nothing(client: Client, petra: User) -> None:
    client.force_login(petra)
    answer = client.get("/api/v1/items")
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"] == 'Bearer realm="Tallyhook"'


def test_last_used_is_kept_to_a_few_minutes(petra: User, monkeypatch: pytest.MonkeyPatch) -> None:
    text = token_of(petra)
    status(text)
    assert AccessToken.objects.get().last_used_at == NOON
    for minutes, kept in ((4, NOON), (6, NOON + timedelta(minutes=6))):
        at = NOON + timedelta(minutes=minutes)
        monkeypatch.setattr(clock, "reading", lambda at=at: at)
        status(text)
        assert AccessToken.objects.get().last_used_at == kept


@pytest.mark.parametrize(
    ("needs", "days", "code"),
    [
        ([], 1, "needs-missing"),
        (["role.give"], 1, "needs-missing"),
        (["item.see"], -1, "day-past"),
        (["item.see"], MOST_DAYS + 1, "day-too-far"),
    ],
)
def test_a_token_that_cannot_be_is_refused(
    petra: User, needs: list[str], days: int, code: str
) -> None:
    with pytest.raises(Refusal) as refused:
        token_of(petra, *needs, through_on=DAY + timedelta(days=days)) if needs else make_token(
            petra, name="x", needs=[], sites=None, through_on=LAST_DAY, stamp=stamp(petra)
        )
    assert refused.value.code == code


def test_nobody_has_more_tokens_than_can_be_kept_in_view(petra: User) -> None:
    rows = [
        AccessToken(owner=petra, prefix=f"X{n:07}", made_at=NOON, through_on=LAST_DAY)
        for n in range(MOST_OPEN)
    ]
    AccessToken.objects.bulk_create(rows)
    with pytest.raises(Refusal, match="revoke one"):
        token_of(petra)
    AccessToken.objects.update(revoked_at=NOON)
    assert token_of(petra)


# The pages


def form(**changed: object) -> dict[str, object]:
    return {"name": "Display", "needs": ["item.see"], "through_on": LAST_DAY.isoformat(), **changed}


def test_the_page_shows_the_token_once_and_the_ledger_names_the_act(
    client: Client, petra: User, site: Site
) -> None:
    client.force_login(petra)
    page = client.post(reverse("register:token-new"), form(sites=[site.pk]))
    text = page.context["written"]
    assert status(text) == 200
    assert text not in client.get(reverse("register:token-list")).content.decode()
    act = Act.objects.get(verb="make-token")
    (entry,) = act.entries.all()
    assert act.by == petra
    assert entry.facts["needs"] == ["item.see"]
    assert entry.facts["sites"] == [site.code]
    assert read_token(text).secret not in entry.body  # type: ignore[union-attr]


def test_the_form_offers_no_more_than_its_user_may(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.AUDITOR, site))
    page = client.get(reverse("register:token-new"))
    offered = {slug for slug, _name in page.context["form"].fields["needs"].choices}
    assert "item.see" in offered
    assert "inspection.record" not in offered
    sent = form(needs=["inspection.record"], every_site="on")
    answer = client.post(reverse("register:token-new"), sent)
    assert answer.status_code == 422
    assert not AccessToken.objects.exists()


def test_a_token_for_everywhere_is_asked_for_in_so_many_words(
    client: Client, petra: User, site: Site
) -> None:
    client.force_login(petra)
    address = reverse("register:token-new")
    assert client.post(address, form()).status_code == 422
    assert client.post(address, form(sites=[site.pk], every_site="on")).status_code == 422
    assert not AccessToken.objects.exists()
    assert client.post(address, form(every_site="on")).status_code == 200
    assert AccessToken.objects.get().every_site
    with pytest.raises(Refusal, match="Choose the sites"):
        token_of(petra, sites=[])


def test_an_administrator_sees_and_revokes_what_others_made(client: Client, site: Site) -> None:
    owner = user_as(Role.STORES, site)
    text = token_of(owner)
    (token,) = AccessToken.objects.all()
    client.force_login(user_as(Role.STORES, site))
    revoke = reverse("register:token-revoke", args=[token.pk])
    assert client.post(revoke).status_code == 404
    client.force_login(user_as(Role.ADMINISTRATOR))
    assert token.prefix in client.get(reverse("register:token-list")).content.decode()
    assert client.post(revoke).status_code == 302
    assert status(text) == 401


def test_every_need_of_a_token_is_of_the_one_table() -> None:
    from register.access import NEEDS

    assert set(TOKEN_NEEDS) <= set(NEEDS)
