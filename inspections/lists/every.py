"""Every list of this app; each long one can be made in the background."""

from inspections.lists.due import DUE
from inspections.lists.equipment import EQUIPMENT
from inspections.lists.found import AUTHORISATIONS, EVENTS, ROUNDS
from inspections.lists.kits import KIT_PARTS, KITS
from inspections.lists.notices import NOTICE_ITEMS, NOTICES
from inspections.lists.work import VISITS, WORK
from register.lists.long import entered

LISTS = entered(
    *(EQUIPMENT, DUE, KITS, KIT_PARTS, ROUNDS, EVENTS, AUTHORISATIONS),
    *(NOTICES, NOTICE_ITEMS, WORK, VISITS),
)
