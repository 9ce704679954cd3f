"""Signing records: Ed25519 (RFC 8032) over the RFC 8785 form, with a key that lies beside the book."""

from __future__ import annotations

import hashlib
import os
from base64 import urlsafe_b64decode, urlsafe_b64encode
from pathlib import Path
from typing import Any

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

# Crockford's letters, ten of them: 50 bits, enough that nobody makes another document of the same number by chance.
LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


class SigningKey:
    """The service's own key. Made at first need, readable by its owner only."""

    def __init__(self, path: Path) -> None:
        self._key = _load(path)
        raw = self._key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)
        self.public_key = urlsafe_b64encode(raw).decode()
        self.id = hashlib.sha256(raw).hexdigest()[:16]

    def sign(self, document: dict[str, Any]) -> str:
        """The signature of a document, base64url."""
        return urlsafe_b64encode(self._key.sign(rfc8785.dumps(document))).decode()


def is_genuine(document: dict[str, Any], signature: str, public_key: str | None) -> bool:
    """Whether this very document was signed with the key's private half."""
    if public_key is None:
        return False
    try:
        key = Ed25519PublicKey.from_public_bytes(urlsafe_b64decode(public_key))
        key.verify(urlsafe_b64decode(signature), rfc8785.dumps(document))
    except (InvalidSignature, ValueError):
        return False
    return True


def number_of(document: dict[str, Any]) -> str:
    """A short fingerprint of a document, to compare paper and screen by eye."""
    value = int.from_bytes(hashlib.sha256(rfc8785.dumps(document)).digest()[:8], "big") >> 14
    letters = "".join(LETTERS[(value >> (5 * place)) & 31] for place in range(9, -1, -1))
    return f"{letters[:4]}-{letters[4:8]}-{letters[8:]}"


def _load(path: Path) -> Ed25519PrivateKey:
    try:
        return Ed25519PrivateKey.from_private_bytes(path.read_bytes())
    except FileNotFoundError:
        key = Ed25519PrivateKey.generate()
        unfinished = path.with_name(f"{path.name}.{os.getpid()}")
        with os.fdopen(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(key.private_bytes_raw())
            file.flush()
            os.fsync(file.fileno())
        try:
            os.link(unfinished, path)  # never over a key that another process has made meanwhile
        except FileExistsError:
            pass
        finally:
            os.unlink(unfinished)
        return Ed25519PrivateKey.from_private_bytes(path.read_bytes())
