"""The first site and the first user of an empty register, from the command line."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.core.management import CommandError, call_command

from register.models import Act, Person, Role, Site, User
from tests.factories import user_as

PASSWORD = "a-hook-of-my-own"


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is typed at the hidden prompt, in turn."""
    answers = [PASSWORD, PASSWORD]
    turns: Iterator[str] = iter(lambda: answers.pop(0), None)
    monkeypatch.setattr("getpass.getpass", lambda _: next(turns))
    return answers


def set_up(*more: str) -> None:
    call_command(
        "set_up", "--username", "petra", "--name", "Petra Voss", "--role", "manager", *more
    )


def test_an_empty_register_is_begun(db: None, typed: list[str]) -> None:
    set_up("--role", "administrator", "--employer-site", "Ashby Row stores")
    petra, site = User.objects.get(), Site.objects.get()
    assert (site.code, site.name) == ("ashby-row-stores", "Ashby Row stores")
    assert petra.check_password(PASSWORD)
    assert petra.holdings == {("manager", None), ("administrator", None)}
    assert (Person.objects.get().name, petra.has_first_password) == ("Petra Voss", False)
    assert sorted(Act.objects.values_list("verb", "device")) == [
        ("add-person", "command"),
        ("add-site", "command"),
        ("add-user", "command"),
        ("change-password", "command"),
    ]


def test_what_is_not_given_is_asked(
    db: None, typed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = ["Ashby Row stores", "petra", "Petra Voss", ""]
    monkeypatch.setattr("builtins.input", lambda _: answers.pop(0))
    call_command("set_up")
    assert User.objects.get().holdings == {("manager", None), ("administrator", None)}
    assert Site.objects.get().name == "Ashby Row stores"


def test_a_register_in_use_is_not_begun_again_unless_asked(db: None, typed: list[str]) -> None:
    user_as(Role.MANAGER, username="oyelaran")
    with pytest.raises(CommandError, match=r"has a user already \(oyelaran\)"):
        set_up()
    set_up("--another")
    assert User.objects.count() == 2


def test_a_password_typed_differently_or_too_easy_is_asked_again(
    db: None, typed: list[str]
) -> None:
    typed[:] = [PASSWORD, "another", "12345678", PASSWORD, PASSWORD]
    set_up()
    assert User.objects.get().check_password(PASSWORD)


def test_nothing_is_entered_where_something_is_refused(db: None, typed: list[str]) -> None:
    with pytest.raises(CommandError, match="is no time zone"):
        set_up("--employer-site", "Ashby Row stores", "--time-zone", "Europe/Ashby")
    typed[:] = [PASSWORD, PASSWORD]
    with pytest.raises(CommandError, match="both administrator and competent person"):
        set_up("--role", "administrator", "--role", "competent-person")
    assert (User.objects.count(), Person.objects.count(), Site.objects.count()) == (0, 0, 0)


def test_a_role_is_given_at_one_site(site: Site) -> None:
    user = user_as(Role.WORKER, username="petra")
    call_command("give_role", "petra", "stores-controller", "--site", "corrick")
    assert User.objects.get(pk=user.pk).holdings == {
        ("worker", None),
        ("stores-controller", site.pk),
    }
    with pytest.raises(CommandError, match="There are: corrick"):
        call_command("give_role", "petra", "auditor", "--site", "nowhere")
