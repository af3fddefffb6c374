"""A home over HTTP: committed, with an administrator, its own member and a stranger signed in."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from service.infrastructure.db.sessions import Database
from tests.factories.households import FurnishedHome, furnished_home

UNKNOWN = "0" * 32


@dataclass(frozen=True)
class HomeClients:
    """Signed-in test clients, and the home that ``member`` lives in."""

    home: FurnishedHome
    neighbour: FurnishedHome
    administrator: Any
    member: Any
    stranger: Any  # a member of the neighbour's home
    officer: Any  # a safety officer, who lives in neither

    @property
    def path(self) -> str:
        """The home's path."""
        return f"/api/v1/households/{self.home.id}"

    @property
    def car(self) -> str:
        """The path of the home's car."""
        return f"{self.path}/vehicles/{self.home.car_id}"


def home_clients(database: Database, client: Callable[..., Any], scheme: str) -> HomeClients:
    """Open two homes and sign in their people."""
    with database.scheme(scheme, write=True) as session:
        home, neighbour = furnished_home(session), furnished_home(session, reference="H-2")
    return HomeClients(
        home,
        neighbour,
        client("administrator", scheme),
        client("member", scheme, home.id),
        client("member", scheme, neighbour.id),
        client("safety_officer", scheme),
    )


def send(who: Any, method: str, path: str, body: Any = None, *, etag: str | None = None, key: str = "") -> Any:
    """Send JSON with If-Match and Idempotency-Key where given."""
    headers = {name: value for name, value in (("If-Match", etag), ("Idempotency-Key", key)) if value}
    options = {} if body is None else {"json": body}
    return who.open(path, method=method, headers=headers, **options)


def pointers(reply: Any) -> list[str]:
    """Return the pointers of a problem's errors."""
    assert reply.mimetype == "application/problem+json", reply.get_data(as_text=True)
    return [error["pointer"] for error in reply.json["errors"]]
