"""One click turns tips off without signing in, looking at the address turns nothing off, and safety goes on."""

from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import Account, Membership
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.reminders.domain.secret_addresses import MutedPerson, mute_token
from tests.conftest import NOON
from tests.factories.reminders import add_home

Clients = Callable[..., Any]


@pytest.fixture
def person(client: Clients, database: Database, scheme: str) -> MutedPerson:
    """A member, as a sealed address names them."""
    with database.scheme(scheme, write=True) as session:
        home = add_home(session)
    client("member", scheme, home)
    with database.scheme(scheme, write=False) as session:
        return MutedPerson(scheme, session.scalars(select(Account.id)).one())


@pytest.fixture
def path(settings: Settings, person: MutedPerson) -> str:
    return f"/api/v1/mute/{mute_token(person, secret_key=settings.secret_key)}"


def muted_at(database: Database, scheme: str) -> object:
    with database.scheme(scheme, write=False) as session:
        return session.scalars(select(Membership.tips_muted_at)).one()


def test_looking_at_the_address_shows_a_button_and_mutes_nothing(
    app: Any, database: Database, scheme: str, path: str
) -> None:
    reply = app.test_client().get(path)
    text = reply.get_data(as_text=True)
    assert reply.status_code == 200 and '<form method="post">' in text
    assert app.test_client().head(path).status_code == 200
    assert muted_at(database, scheme) is None


@pytest.mark.parametrize(
    "options",
    [
        {"data": {"List-Unsubscribe": "One-Click"}},
        {"data": {"List-Unsubscribe": "One-Click"}, "content_type": "multipart/form-data"},
        {"data": {"List-Unsubscribe": "One-Click"}, "headers": {"Origin": "null", "Sec-Fetch-Site": "cross-site"}},
        {},
    ],
    ids=["form", "multipart", "another site", "empty"],
)
def test_a_mail_programs_click_mutes_without_a_cookie_and_without_being_sent_elsewhere(
    app: Any, database: Database, scheme: str, path: str, options: dict[str, Any]
) -> None:
    for _ in range(2):
        reply = app.test_client().post(path, **options)
        assert reply.status_code == 200 and "Location" not in reply.headers and "Set-Cookie" not in reply.headers
    assert muted_at(database, scheme) == NOON


def test_an_address_that_is_not_ours_is_not_there(app: Any, database: Database, scheme: str, path: str) -> None:
    for wrong in (path[:-2] + "AA", path + "A", "/api/v1/mute/x"):
        assert app.test_client().get(wrong).status_code == 404
        assert app.test_client().post(wrong).status_code == 404
    assert muted_at(database, scheme) is None


def test_who_has_left_has_nothing_to_mute(
    app: Any, settings: Settings, person: MutedPerson, database: Database, scheme: str, path: str
) -> None:
    with database.scheme(scheme, write=True) as session:
        session.scalars(select(Membership)).one().ended_at = NOON
    assert app.test_client().post(path).status_code == 404
