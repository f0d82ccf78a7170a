"""What is to be borne in mind by whoever reads a list without the pages around it."""

from django.utils.translation import gettext_lazy

IN_DATE = gettext_lazy(
    "Being in date does not mean fit: a piece can be in date and damaged. Look at it before use."
)
LAST_GOOD_DAY = gettext_lazy(
    "A due day is the last good day. There is no extension: overdue is out of use until it is inspected."
)
STAND_IN = gettext_lazy("A record and planning aid; it does not stand in for a competent person.")
PERSONAL = gettext_lazy(
    "Names of people: keep it from those who need it not, and no longer than needed."
)
COVER = gettext_lazy(
    "Rescue cover is judged from what is recorded. Whether a rescue would succeed is proven by drills."
)
