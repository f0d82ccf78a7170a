"""The sign-in library's forms, with labels of ours."""

from __future__ import annotations

from typing import Any

from allauth.mfa.webauthn.forms import AddWebAuthnForm, EditWebAuthnForm
from django.utils.translation import gettext_lazy

_NAME = gettext_lazy("Name")


class PasskeyForm(AddWebAuthnForm):
    """A new passkey: what to call it, and whether it signs in alone."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].label = _NAME
        self.fields["name"].help_text = gettext_lazy("Such as ‘phone’ or ‘office computer’.")
        alone = self.fields["passwordless"]
        alone.label = gettext_lazy("It signs me in without my password")
        alone.help_text = gettext_lazy("Without this, it is asked for after the password.")
        alone.initial = True


class PasskeyNameForm(EditWebAuthnForm):
    """Another name for a passkey."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].label = _NAME
