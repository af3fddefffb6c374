"""Where a request comes from, as far as that can be known."""

from __future__ import annotations

from ipaddress import ip_address

from flask import request

from service.infrastructure.http.transactions import services


def caller_place() -> str | None:
    """Return where the request came from, or None where only a proxy's address is known.

    Each trusted proxy appends the address it saw, so the caller's stands that many places from the end;
    anything further left the caller may have made up.
    """
    proxies = services().settings.trusted_proxies
    if proxies:
        seen = [part.strip() for part in request.headers.get("X-Forwarded-For", "").split(",") if part.strip()]
        return seen[-proxies] if len(seen) >= proxies else None
    address = request.remote_addr
    return None if address is None or ip_address(address).is_loopback else address
