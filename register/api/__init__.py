"""The door for other systems at /api/v1/: who asks, how often, what was asked, how a no is told.

What can be asked stands in the ``api`` room of each app. A call of an API is no page: it answers to a
token alone, never to the cookie of somebody signed in, so that no page elsewhere can make a browser
ask in their name; it needs no CSRF token for the same reason.
"""
