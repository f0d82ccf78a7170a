"""Days and moments in Polish: the month stands in the genitive after a day (E), alone in the
nominative (F), and is never written with a capital (b)."""

DAY = "j E Y"
DAY_OF_YEAR = "j E"
LONG_DAY = "l, j E Y"
MOMENT = "j E Y, H:i"
MONTH = "F Y"
MONTH_ALONE = "b"
WEEKDAY = "D, j E"
WEEKDAY_AND_DAY = "D, j E Y"
