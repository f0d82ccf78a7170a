"""Asking for the password or passkey again, before what would hurt most from a screen left open."""

from __future__ import annotations

from allauth.account.decorators import reauthentication_required

from register.access import View


def asks_again(view: View) -> View:
    """Let a look through; whoever acts gives the password, a passkey or a code again first.

    It lasts for ``ACCOUNT_REAUTHENTICATION_TIMEOUT``. What was filled in is kept meanwhile and done
    afterwards; the page's form names its own address, so that it is still sent there if refused.
    """
    guarded: View = reauthentication_required(view, allow_get=True)
    guarded.asks_again = True  # type: ignore[attr-defined]
    return guarded
