"""What every operation has in common, written into the OpenAPI document in one place.

The session cookie, the header that changes must carry, the key that makes a creation repeatable, and the 404 of a
path with an id: an apispec plugin adds them, so that no feature repeats them.
"""

from __future__ import annotations

from typing import Any

from apispec import APISpec, BasePlugin

SESSION_COOKIE = "__Host-plugward"
LINK_HEADER = "Inspection-Link"
UNSAFE = ("post", "put", "patch", "delete")
REQUESTED_BY = {
    "required": True,
    "description": "Says that the request was not made by a form or link of another site",
    "schema": {"type": "string", "enum": ["plugward"]},
}
IDEMPOTENCY_KEY = {
    "required": False,
    "description": "A random text of the caller's; the same request under the same key is answered with the first "
    "reply and done once",
    "schema": {"type": "string", "minLength": 1, "maxLength": 255, "pattern": "^[!-~]+$"},
}


class Conventions(BasePlugin):
    """Adds what the service asks of every request of a kind."""

    def init_spec(self, spec: APISpec) -> None:
        """Register the shared parts."""
        spec.components.parameter("REQUESTED_BY", "header", {"name": "X-Requested-By", **REQUESTED_BY})
        spec.components.parameter("IDEMPOTENCY_KEY", "header", {"name": "Idempotency-Key", **IDEMPOTENCY_KEY})
        cookie = {"type": "apiKey", "in": "cookie", "name": SESSION_COOKIE, "description": "Set by POST /session"}
        spec.components.security_scheme("session", cookie)
        told = "What stands behind # in the link"
        link = {"type": "apiKey", "in": "header", "name": LINK_HEADER, "description": told}
        spec.components.security_scheme("inspection_link", link)

    def operation_helper(
        self, path: str | None = None, operations: dict[str, Any] | None = None, **kwargs: Any
    ) -> None:
        """Complete each operation of a path."""
        for method, operation in (operations or {}).items():
            responses = operation.setdefault("responses", {})
            operation.setdefault("security", [{"session": []}])
            if method in UNSAFE:
                operation.setdefault("parameters", []).append("REQUESTED_BY")
                responses.setdefault("403", "FORBIDDEN")
            if method == "post" and any(str(status) == "201" for status in responses):
                operation["parameters"].append("IDEMPOTENCY_KEY")
            if "{" in (path or ""):
                responses.setdefault("404", "NOT_FOUND")
