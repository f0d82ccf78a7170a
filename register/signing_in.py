"""Who may sign in: an open user whose person has not left; asked again at every page."""

from __future__ import annotations

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.models import AnonymousUser

from register import clock
from register.actions.signing_in import has_left
from register.models import User


class SigningIn(ModelBackend):
    """Shuts out whoever has left from the first moment of that day, with no job that must run."""

    def user_can_authenticate(self, user: User | AnonymousUser | None) -> bool:
        if not isinstance(user, User) or not super().user_can_authenticate(user):
            return False
        return user.person is None or not has_left(user.person, clock.now())

    def get_user(self, user_id: int) -> User | None:
        """The user with the person and their site, which nearly every page asks for."""
        user = User.objects.select_related("person__home_site").filter(pk=user_id).first()
        return user if self.user_can_authenticate(user) else None
