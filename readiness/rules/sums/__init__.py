"""A competent person's planning sums: indications on the figures given, never a promise.

Lengths in metres, masses in kilograms, forces in newtons unless a name says otherwise; other units
are converted at the edge (`units.py`). Every length of an answer is a `Part` with its own basis, every
total says below what it is measured, and what a formula does not hold for is `Refused`.
"""
