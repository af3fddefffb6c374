"""The blueprint that the modules of this package hang their operations on, and what they share."""

from __future__ import annotations

from typing import Any, Protocol, TypeVar

from service.infrastructure.http.access import principal
from service.infrastructure.http.bodies import ApiBlueprint
from service.infrastructure.http.etags import etag_headers, require_match
from service.infrastructure.http.transactions import now

blueprint = ApiBlueprint(
    "households", __name__, description="What stands in a home: supply, circuits, outlets, leads, cars, contracts."
)


Versioned = TypeVar("Versioned", bound="HasVersion")


class HasVersion(Protocol):
    """Anything that people edit."""

    @property
    def version(self) -> Any:
        """What changes with each edit."""
        ...


def writing() -> dict[str, Any]:
    """Return who writes and when, as every operation takes them."""
    return {"by": principal().account_id, "at": now()}


def with_etag(value: HasVersion) -> tuple[HasVersion, dict[str, str]]:
    """Return a body with the ETag of its version."""
    return value, etag_headers(value.version)


def matched(row: Versioned) -> Versioned:
    """Return a row whose version If-Match names: 428 without the header, 412 where it is stale.

    The caller keeps the row until the operation is done, so that the session gives the operation this
    very row and not one that somebody else has changed since it was compared.
    """
    require_match(row.version)
    return row
