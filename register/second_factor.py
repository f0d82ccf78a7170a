"""What the sign-in library is told of us: how its secrets are kept, and what it says to people."""

from __future__ import annotations

import base64
import hashlib
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import generate_totp_secret
from allauth.mfa.utils import is_mfa_enabled
from cryptography.fernet import Fernet, InvalidToken
from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest

from register.models import User

_GREETINGS = ("account/messages/logged_in.txt", "account/messages/logged_out.txt")
FACTORS = [Authenticator.Type.TOTP, Authenticator.Type.WEBAUTHN]


class Accounts(DefaultAccountAdapter):
    """Nobody signs up, and nobody is greeted: the page that opens says enough."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def add_message(self, request: HttpRequest, level: int, *args: Any, **kwargs: Any) -> None:
        template = args[0] if args else kwargs.get("message_template")
        if template not in _GREETINGS:
            super().add_message(request, level, *args, **kwargs)


class SecondFactors(DefaultMFAAdapter):
    """The secrets of authenticator programs lie in the database under the key of this register."""

    def encrypt(self, text: str) -> str:
        return _lock().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        """Where the register's key is another one by now, a secret that no code fits."""
        try:
            return _lock().decrypt(encrypted_text.encode()).decode()
        except InvalidToken:
            return generate_totp_secret()  # never an empty one, whose codes anybody can work out


def _lock() -> Fernet:
    drawn = hashlib.scrypt(
        settings.SECRET_KEY.encode(), salt=b"second factors", n=2**12, r=8, p=1, dklen=32
    )
    return Fernet(base64.urlsafe_b64encode(drawn))


def lacks_second_factor(user: User | AnonymousUser) -> bool:
    """Whether one of the user's roles is to have a second factor, and the user has set up none."""
    if isinstance(user, AnonymousUser) or not settings.SECOND_FACTOR_ROLES:
        return False
    held = {role for role, _ in user.holdings}
    return bool(held & settings.SECOND_FACTOR_ROLES) and not is_mfa_enabled(user, types=FACTORS)
