"""Signatures: Ed25519 against the test vectors of RFC 8032, the key's file, and what a change does."""

from __future__ import annotations

from base64 import urlsafe_b64decode, urlsafe_b64encode

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from service.record.signing import SigningKey, is_genuine, number_of

DOCUMENT = {"values": [{"value": 5.3, "unit": "mm"}], "shop": "Yard Workshop", "note": "ä", "empty": None}


def test_the_library_keeps_to_rfc_8032():
    """Section 7.1, test 2: a message of one byte."""
    secret = bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
    signature = Ed25519PrivateKey.from_private_bytes(secret).sign(b"\x72")
    assert signature.hex() == (
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
    )


def test_a_signed_document_is_genuine_in_whatever_order_its_keys_come(tmp_path):
    key = SigningKey(tmp_path / "book.db.key")
    signature = key.sign(DOCUMENT)
    assert is_genuine(DOCUMENT, signature, key.public_key)
    assert is_genuine(dict(reversed(DOCUMENT.items())), signature, key.public_key)
    assert len(urlsafe_b64decode(signature)) == 64


@pytest.mark.parametrize("change", [{"shop": "Yard workshop"}, {"values": []}, {"more": 1}])
def test_any_change_shows(tmp_path, change):
    key = SigningKey(tmp_path / "book.db.key")
    assert not is_genuine(DOCUMENT | change, key.sign(DOCUMENT), key.public_key)
    assert number_of(DOCUMENT | change) != number_of(DOCUMENT)


def test_another_key_and_nonsense_are_not_genuine(tmp_path):
    key, other = SigningKey(tmp_path / "a.key"), SigningKey(tmp_path / "b.key")
    signature = key.sign(DOCUMENT)
    assert key.id != other.id
    for public in (other.public_key, None, "", "AAAA", urlsafe_b64encode(b"x" * 31).decode()):
        assert not is_genuine(DOCUMENT, signature, public)
    assert not is_genuine(DOCUMENT, "AAAA", key.public_key)


def test_the_key_is_made_once_and_is_its_owners_alone(tmp_path):
    path = tmp_path / "book.db.key"
    first = SigningKey(path)
    assert path.stat().st_mode & 0o777 == 0o600
    assert SigningKey(path).id == first.id
    assert [entry.name for entry in tmp_path.iterdir()] == ["book.db.key"]


def test_a_number_is_short_and_of_letters_that_are_not_mistaken():
    number = number_of(DOCUMENT)
    assert len(number) == 12 and number.count("-") == 2
    assert not set(number) & set("ILOU")
