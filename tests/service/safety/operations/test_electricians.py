"""The scheme's list: who is on it, since when, and that each address stands once."""

from datetime import timedelta

import pytest

from service.common.errors import Conflict, NotFound
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.visit_details import ElectricianDetails
from tests.factories.households import NOON, WRITING
from tests.factories.visits import listed


def test_an_address_stands_once_on_the_list_however_it_is_written(session: SchemeSession) -> None:
    first = listed(session, "Hollin@Wiring.example")
    assert first.email == "hollin@wiring.example"
    with pytest.raises(Conflict, match="on the list"):
        listed(session, " hollin@wiring.EXAMPLE ".strip())
    other = listed(session, "other@wiring.example")
    with pytest.raises(Conflict):
        operations.change_electrician(session, other.id, {"email": "HOLLIN@wiring.example"}, **WRITING)


def test_who_was_taken_off_is_put_on_again_from_then_on(session: SchemeSession) -> None:
    first = listed(session)
    operations.unlist_electrician(session, first.id, by=None, at=NOON + timedelta(days=1))
    operations.unlist_electrician(session, first.id, by=None, at=NOON + timedelta(days=2))
    assert first.unlisted_at == NOON + timedelta(days=1)
    details = ElectricianDetails("Another name", "hollin@wiring.example")
    again = operations.list_electrician(session, details, by=None, at=NOON + timedelta(days=3))
    assert (again.id, again.name, again.unlisted_at) == (first.id, "Another name", None)
    assert again.listed_at == NOON + timedelta(days=3)


def test_those_on_the_list_stand_first(session: SchemeSession) -> None:
    gone, here = listed(session, "a@wiring.example"), listed(session, "b@wiring.example")
    operations.unlist_electrician(session, gone.id, **WRITING)
    assert [each.id for each in operations.list_electricians(session)] == [here.id, gone.id]
    with pytest.raises(NotFound):
        operations.get_electrician(session, "f" * 32)
