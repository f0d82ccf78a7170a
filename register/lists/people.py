"""People and users as lists."""

from __future__ import annotations

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from register.access import users_for
from register.exports.columns import code, day, number, text, yes_no
from register.lists.listing import Asked, Asking, Listing
from register.models import Person, User
from register.models.people import Role


def people_shown(user: User, words: str) -> QuerySet[Person]:
    """Those whom the user sees, whose name or employer holds the words, with what each holds."""
    people = Person.objects.visible_to(user).select_related("home_site")
    if words:
        people = people.filter(Q(name__icontains=words) | Q(employer__icontains=words))
    return people.annotate(holds=Count("held_items")).order_by("name", "pk")


def _people(asking: Asking) -> Asked:
    words = " ".join(asking.given.get("q", "").split())
    rows = people_shown(asking.user, words)
    filters = ((_("Name or employer"), words),) if words else ()
    return Asked(rows.iterator(chunk_size=2000), rows.count(), filters)


PEOPLE = Listing(
    name="people",
    title=gettext_lazy("People"),
    page="register:person-list",
    need="person.see",
    address="lists/people/",
    ask=_people,
    at_once=10_000,
    columns=(
        text("name", pgettext_lazy("of a person", "Name"), "name"),
        text("employer", gettext_lazy("Employer"), "employer"),
        text("home_site", gettext_lazy("Home site"), "home_site.name"),
        number("holds", gettext_lazy("Holds"), "holds", gettext_lazy("Items on issue to them.")),
        day("left_on", gettext_lazy("Left"), "left_on"),
    ),
    cautions=(
        gettext_lazy(
            "Names of people: keep it from those who need it not, and no longer than needed."
        ),
    ),
)


def _users(asking: Asking) -> Asked:
    users = users_for(asking.user, "role.give").select_related("person")
    rows = users.prefetch_related("grants__site").order_by("-is_active", "username")
    return Asked(rows.iterator(chunk_size=500), rows.count())


def _roles(user: User) -> str:
    """'Stores controller: every site; Supervisor: Corrick Quay'."""
    return "; ".join(
        f"{Role(one.role).label}: {one.site.name if one.site else _('every site')}"
        for one in sorted(user.grants.all(), key=lambda one: (one.role, one.site_id or 0))
    )


USERS = Listing(
    name="users",
    title=gettext_lazy("Users"),
    page="register:user-list",
    need="role.give",
    address="lists/users/",
    ask=_users,
    columns=(
        code("username", gettext_lazy("Username"), "username"),
        text("person", pgettext_lazy("of a person", "Name"), "person.name"),
        yes_no("open", gettext_lazy("May sign in"), "is_active"),
        text("roles", gettext_lazy("Roles"), _roles),
        yes_no(
            "first_password",
            gettext_lazy("First password"),
            "has_first_password",
            gettext_lazy("Still to be changed by the user."),
        ),
    ),
)
