"""Every list of this app; each long one can be made in the background."""

from register.lists.long import entered
from register.lists.people import PEOPLE, USERS
from register.lists.sites import SITES

LISTS = entered(PEOPLE, USERS, SITES)
