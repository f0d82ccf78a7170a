"""Fetches a calendar from elsewhere: https alone, to no address of our own network, bounded in time,
size and number of redirections.

The name is resolved once, every address it has must be a public one, and the connection goes to that
very address: a name that answers otherwise the second time leads nowhere.
"""

from __future__ import annotations

import http.client
import ipaddress
import socket
import ssl
import time
from collections.abc import Callable, Sequence
from urllib.parse import SplitResult, urljoin, urlsplit

from readiness.intake.rota.calendars import MOST_BYTES

MOST_SECONDS = 15.0
MOST_REDIRECTIONS = 3
PORT = 443
_CHUNK = 64 * 1024
_MOVED = frozenset({301, 302, 303, 307, 308})
_OK = 200
_TRANSLATED = (ipaddress.ip_network("64:ff9b::/96"), ipaddress.ip_network("2002::/16"))

Resolve = Callable[[str], Sequence[str]]
Connect = Callable[[str, str, float], http.client.HTTPConnection]


class NotFetched(Exception):
    """Why there is no answer; args[0] is a code of readiness.intake.rota.wording."""


def fetch(address: str, *, resolve: Resolve | None = None, connect: Connect | None = None) -> bytes:
    """What stands at the address now. Raises NotFetched."""
    ends = time.monotonic() + MOST_SECONDS
    for _redirection in range(MOST_REDIRECTIONS + 1):
        parts = checked(address)
        host = parts.hostname or ""
        number = _public_address(host, resolve or _resolved)
        try:
            answer = _asked(parts, (connect or _connected)(host, number, _left(ends)), ends)
        except (OSError, http.client.HTTPException, ValueError) as error:
            raise NotFetched("feed-no-answer") from error
        if isinstance(answer, bytes):
            return answer
        address = urljoin(address, answer)
    raise NotFetched("feed-redirects")


def checked(address: str) -> SplitResult:
    """The parts of an address that may be asked: https, a host, no name and password in it."""
    try:
        parts = urlsplit(address.strip())
        port = parts.port
    except ValueError as error:
        raise NotFetched("feed-not-https") from error
    if parts.scheme != "https" or not parts.hostname or port not in {None, PORT}:
        raise NotFetched("feed-not-https")
    if parts.username or parts.password:
        raise NotFetched("feed-with-password")
    return parts


def _public_address(host: str, resolve: Resolve) -> str:
    """One address of the host, where all of them are public."""
    try:
        numbers = [ipaddress.ip_address(each.split("%")[0]) for each in resolve(host)]
    except (OSError, ValueError, UnicodeError) as error:
        raise NotFetched("feed-no-host") from error
    if not numbers:
        raise NotFetched("feed-no-host")
    if not all(map(is_public, numbers)):
        raise NotFetched("feed-private")
    return str(numbers[0])


def is_public(number: ipaddress.IPv4Address | ipaddress.IPv6Address) -> bool:
    """Whether it lies in the open network, also where it only stands for another one."""
    if isinstance(number, ipaddress.IPv6Address):
        if number.ipv4_mapped:
            return is_public(number.ipv4_mapped)
        if any(number in network for network in _TRANSLATED):
            return False
    return number.is_global and not number.is_multicast


def _resolved(host: str) -> list[str]:
    found = socket.getaddrinfo(host, PORT, type=socket.SOCK_STREAM)
    return [str(each[4][0]) for each in found]


class _Pinned(http.client.HTTPSConnection):
    """Speaks to the address that was looked at, under the host's own name and certificate."""

    def __init__(self, host: str, number: str, seconds: float) -> None:
        super().__init__(host, PORT, timeout=seconds, context=ssl.create_default_context())
        self._number = number
        self._trust = ssl.create_default_context()

    def connect(self) -> None:
        plain = socket.create_connection((self._number, PORT), self.timeout)
        self.sock = self._trust.wrap_socket(plain, server_hostname=self.host)


def _connected(host: str, number: str, seconds: float) -> http.client.HTTPConnection:
    return _Pinned(host, number, seconds)


def _left(ends: float) -> float:
    left = ends - time.monotonic()
    if left <= 0:
        raise NotFetched("feed-slow")
    return left


def _asked(parts: SplitResult, connection: http.client.HTTPConnection, ends: float) -> bytes | str:
    """The content, or where it has moved to."""
    path = f"{parts.path or '/'}?{parts.query}" if parts.query else parts.path or "/"
    try:
        connection.request(
            "GET", path, headers={"Accept": "text/calendar", "User-Agent": "Tallyhook"}
        )
        response = connection.getresponse()
        if response.status in _MOVED and response.headers.get("Location"):
            return str(response.headers["Location"])
        if response.status != _OK:
            raise NotFetched("feed-no-answer")
        return _content(response, ends)
    finally:
        connection.close()


def _content(response: http.client.HTTPResponse, ends: float) -> bytes:
    found = bytearray()
    while chunk := response.read(_CHUNK):
        found += chunk
        if len(found) > MOST_BYTES:
            raise NotFetched("feed-too-big")
        _left(ends)
    return bytes(found)
