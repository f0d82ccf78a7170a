"""What an NFC tag carries so that a phone held to it opens an address: one NDEF URI record."""

from __future__ import annotations

# Prefixes of the NFC Forum's URI record type definition 1.0, table 3 (from memory; the tests compare
# with ndeflib).
_PREFIXES = {"https://": 4, "http://": 3}
_FIRST_AND_LAST_SHORT_WELL_KNOWN = 0xD1
_LONGEST = 255  # bytes of a short record


def uri_message(address: str) -> bytes:
    """The NDEF message of one URI record. ValueError where the address is too long for a short one."""
    low = address.lower()
    prefix = next((one for one in _PREFIXES if low.startswith(one)), "")
    payload = bytes([_PREFIXES.get(prefix, 0)]) + address[len(prefix) :].encode()
    if len(payload) > _LONGEST:
        raise ValueError(f"{len(payload)} bytes are too long for a short record: {address}")
    return bytes([_FIRST_AND_LAST_SHORT_WELL_KNOWN, 1, len(payload)]) + b"U" + payload
