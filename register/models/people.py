"""People, the users who log in, and the roles they hold; a person who never logs in is no user."""

from __future__ import annotations

import secrets
from functools import cached_property
from typing import TYPE_CHECKING

from django.contrib.auth.models import AbstractUser, AnonymousUser
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

if TYPE_CHECKING:
    from datetime import date


def new_salt() -> str:
    """The salt under which a name stands in the ledger; destroyed when the person is erased."""
    return secrets.token_hex(16)


class Role(models.TextChoices):
    """What a user may do; ``register.access`` says what each role means."""

    WORKER = "worker", gettext_lazy("Worker")
    STORES = "stores-controller", gettext_lazy("Stores controller")
    COMPETENT = "competent-person", gettext_lazy("Competent person")
    SUPERVISOR = "supervisor", gettext_lazy("Supervisor")
    PLANNER = "planner", gettext_lazy("Rescue planner")
    APPROVER = "approver", gettext_lazy("Plan approver")
    MANAGER = "manager", gettext_lazy("Manager")
    AUDITOR = "auditor", gettext_lazy("Auditor")
    ADMINISTRATOR = "administrator", gettext_lazy("Administrator")


class PersonQuerySet(models.QuerySet["Person"]):
    def visible_to(self, user: User | AnonymousUser) -> PersonQuerySet:
        """The people of the sites on which the user holds a role, and those of no one site."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        if user.sees_all_sites:
            return self
        return self.filter(Q(home_site__in=user.site_ids) | Q(home_site=None))

    def here_on(self, day: date) -> PersonQuerySet:
        """Those who have not left the employer by that day."""
        return self.filter(Q(left_on=None) | Q(left_on__gt=day))


class Person(models.Model):
    """Somebody who holds equipment, inspects, works at height or rescues."""

    name = models.CharField(max_length=120)
    employer = models.CharField(max_length=120, blank=True)
    number = models.CharField(gettext_lazy("staff number"), max_length=40, blank=True)
    home_site = models.ForeignKey(
        "register.Site", null=True, blank=True, on_delete=models.PROTECT, related_name="people"
    )
    left_on = models.DateField(null=True, blank=True)
    ledger_salt = models.CharField(max_length=32, default=new_salt, editable=False)

    objects = PersonQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "people"
        constraints = [
            models.UniqueConstraint(
                fields=["employer", "number"],
                condition=~Q(number=""),
                name="number_once_an_employer",
                violation_error_message=gettext_lazy(
                    "Somebody else of this employer has this staff number."
                ),
            )
        ]

    def __str__(self) -> str:
        return self.name


class User(AbstractUser):
    """A login. What it may do is in its grants, never in Django's own permissions."""

    person = models.OneToOneField(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="user"
    )
    has_first_password = models.BooleanField(
        gettext_lazy("is to change the first password"), default=False
    )
    ledger_salt = models.CharField(max_length=32, default=new_salt, editable=False)

    def __str__(self) -> str:
        return self.person.name if self.person else self.username

    @cached_property
    def holdings(self) -> frozenset[tuple[str, int | None]]:
        """(role, site id) for each grant; None stands for every site."""
        if not self.is_active:
            return frozenset()
        return frozenset(self.grants.values_list("role", "site_id"))

    @property
    def sees_all_sites(self) -> bool:
        return any(site is None for _, site in self.holdings)

    @property
    def site_ids(self) -> set[int]:
        """The sites named in the user's grants."""
        return {site for _, site in self.holdings if site is not None}


class Grant(models.Model):
    """One role held by one user, at one site or at all."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="grants")
    role = models.CharField(max_length=20, choices=Role)
    site = models.ForeignKey("register.Site", null=True, blank=True, on_delete=models.PROTECT)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["user", "role", "site"], name="grant_once_a_site"),
            models.UniqueConstraint(
                fields=["user", "role"], condition=Q(site=None), name="grant_once_for_all_sites"
            ),
        ]

    def __str__(self) -> str:
        where = self.site or _("every site")
        facts = {"user": self.user, "role": self.get_role_display(), "site": where}
        return _("%(user)s: %(role)s at %(site)s") % facts
