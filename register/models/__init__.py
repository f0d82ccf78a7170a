"""The tables of the register."""

from register.models.backups import BackUp
from register.models.calendars import CalendarFeed, CalendarTold
from register.models.catalogue import Product
from register.models.custody import Delivery, Movement
from register.models.documents import Document
from register.models.errands import Errand
from register.models.handovers import Handover, HandoverLine
from register.models.holds import Hold, Reversal
from register.models.items import Item, Kit, KitPart, SealEvent, Tag
from register.models.ledger import Act, ActNote, Checkpoint, Entry, Head, Stamp, record
from register.models.messages import Message, MessageTerms, Postbox
from register.models.papers import Employer, Paper, PaperSize, PaperSubject
from register.models.people import Grant, Person, Role, User
from register.models.places import Passage, Shift, Site, Zone
from register.models.tokens import AccessToken, KeptAnswer

__all__ = [
    "AccessToken",
    "Act",
    "ActNote",
    "BackUp",
    "CalendarFeed",
    "CalendarTold",
    "Checkpoint",
    "Delivery",
    "Document",
    "Employer",
    "Entry",
    "Errand",
    "Grant",
    "Handover",
    "HandoverLine",
    "Head",
    "Hold",
    "Item",
    "KeptAnswer",
    "Kit",
    "KitPart",
    "Message",
    "MessageTerms",
    "Movement",
    "Paper",
    "PaperSize",
    "PaperSubject",
    "Passage",
    "Person",
    "Postbox",
    "Product",
    "Reversal",
    "Role",
    "SealEvent",
    "Shift",
    "Site",
    "Stamp",
    "Tag",
    "User",
    "Zone",
    "record",
]
