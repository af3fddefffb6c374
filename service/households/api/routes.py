"""The blueprint that the modules of this package hang their operations on, and what they share."""

from __future__ import annotations

from typing import Any, Protocol

from service.infrastructure.http.access import principal
from service.infrastructure.http.bodies import ApiBlueprint
from service.infrastructure.http.etags import etag_headers
from service.infrastructure.http.transactions import now

blueprint = ApiBlueprint(
    "households", __name__, description="What stands in a home: supply, circuits, outlets, leads, cars, contracts."
)


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
