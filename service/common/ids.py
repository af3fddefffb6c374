"""Identifiers: 128 random bits as text, so that nobody can count or guess them."""

from __future__ import annotations

import secrets


def new_id() -> str:
    """Return a new identifier of 32 lower-case hexadecimal characters."""
    return secrets.token_hex(16)
