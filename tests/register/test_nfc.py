"""What is written on NFC tags, held to a library for NDEF and to the example of the standard."""

from __future__ import annotations

import ndef
import pytest

from register.rules.nfc import uri_message


@pytest.mark.parametrize(
    "address",
    [
        "https://kit.example.org/T/H7K2PD3/2345678923",
        "HTTPS://KIT.EXAMPLE.ORG/T/H7K2PD3/2345678923",
        "http://192.0.2.7:8000/T/H7K2PD3/2345678923",
    ],
)
def test_an_nfc_tag_reads_back_as_the_address_of_the_qr_code(address: str) -> None:
    (record,) = ndef.message_decoder(uri_message(address))
    scheme, _, rest = address.partition("://")
    assert record.iri == f"{scheme.lower()}://{rest}"


def test_the_record_is_as_the_library_itself_writes_it() -> None:
    address = "https://kit.example.org/T/H7K2PD3/2345678923"
    assert uri_message(address) == b"".join(ndef.message_encoder([ndef.UriRecord(address)]))


def test_an_address_too_long_for_a_short_record_is_refused() -> None:
    assert len(uri_message("https://" + "a" * 254)) == 259
    with pytest.raises(ValueError, match="too long"):
        uri_message("https://" + "a" * 255)
