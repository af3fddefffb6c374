"""Secret addresses: signed ones that mute a person's tips, and random ones of calendars.

A signed address carries whose it is and a seal that only the service can make, bound to one purpose; nothing of it
is stored.  A calendar's address is random and only its hash is stored, so that it can be revoked.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass

_PURPOSE = b"mute tips/1"
_SEAL_BYTES = 20
_ID_BYTES = 16
_TOKEN = re.compile(r"[A-Za-z0-9_-]{70}")
_FEED_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}")


@dataclass(frozen=True)
class MutedPerson:
    """Whose tips an address mutes, in which scheme."""

    scheme_id: str
    account_id: str


def mute_token(person: MutedPerson, *, secret_key: str) -> str:
    """Return the token that mutes one person's tips in one scheme, and does nothing else."""
    ids = bytes.fromhex(person.scheme_id) + bytes.fromhex(person.account_id)
    return base64.urlsafe_b64encode(ids + _seal(ids, secret_key)).decode().rstrip("=")


def read_mute_token(token: str, *, secret_key: str) -> MutedPerson | None:
    """Return whom a token names, or None where its seal is not ours."""
    if not _TOKEN.fullmatch(token):
        return None
    try:
        content = base64.urlsafe_b64decode(token + "=" * (-len(token) % 4))
    except (binascii.Error, ValueError):
        return None
    ids, seal = content[: 2 * _ID_BYTES], content[2 * _ID_BYTES :]
    if len(ids) != 2 * _ID_BYTES or not hmac.compare_digest(seal, _seal(ids, secret_key)):
        return None
    return MutedPerson(ids[:_ID_BYTES].hex(), ids[_ID_BYTES:].hex())


def _seal(ids: bytes, secret_key: str) -> bytes:
    return hmac.new(secret_key.encode(), _PURPOSE + ids, hashlib.sha256).digest()[:_SEAL_BYTES]


def new_feed_token() -> str:
    """Return a random token of 256 bits."""
    return secrets.token_urlsafe(32)


def repeatable_feed_token(scheme_id: str, account_id: str, key: str, *, secret_key: str) -> str:
    """Return the token of a request that may be repeated under a key: the same again, and nothing of it is stored."""
    told = f"feed/1/{scheme_id}/{account_id}/{key}".encode()
    digest = hmac.new(secret_key.encode(), told, hashlib.sha256).digest()
    return base64.urlsafe_b64encode(digest).decode().rstrip("=")


def hashed_feed_token(token: str) -> str | None:
    """Return what is stored of a calendar's token, or None for what cannot be one."""
    return hashlib.sha256(token.encode()).hexdigest() if _FEED_TOKEN.fullmatch(token) else None
