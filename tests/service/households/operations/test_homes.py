"""Homes: opened, changed, and what counts as a change of their plans."""

from collections.abc import Iterator
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.common.errors import NotFound, Rejected
from service.households import operations
from service.households.domain.home_details import SupplyDetails
from service.households.models import Household
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.outbox import Event
from tests.factories.households import NOON, WRITING, home_details, open_home
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

OTHER_SCHEME = "b" * 32


def events(session: SchemeSession) -> list[dict[str, Any]]:
    """Return the payloads announced so far, by their count."""
    return sorted((event.payload for event in session.scalars(select(Event))), key=lambda each: each["change_counter"])


def audited(session: SchemeSession) -> list[tuple[str, str, list[str]]]:
    """Return (action, subject kind, fields) of the audit trail."""
    rows = session.scalars(select(AuditEntry)).all()
    return [(row.action, row.subject_kind, row.fields) for row in rows]


def test_a_home_is_opened_audited_and_announced(session: SchemeSession) -> None:
    home_id = open_home(session)
    assert operations.get_household(session, home_id).reference == "H-1"
    assert audited(session) == [("open", "household", [])]
    assert [event["household_id"] for event in events(session)] == [home_id]


def test_two_homes_never_share_a_reference(session: SchemeSession) -> None:
    first, second = open_home(session), open_home(session, reference="H-2")
    with pytest.raises(operations.ReferenceTaken):
        open_home(session)
    with pytest.raises(operations.ReferenceTaken):
        operations.change_household(session, second, {"reference": "H-1"}, **WRITING)
    operations.change_household(session, first, {"reference": "H-1", "member_name": "Bo"}, **WRITING)


def test_a_change_of_terms_changes_plans_and_one_of_the_address_does_not(session: SchemeSession) -> None:
    home_id = open_home(session)
    session.commit()
    home = operations.get_household(session, home_id)
    count = home.change_counter
    operations.change_household(session, home_id, {"address": "2 Quince Row"}, **WRITING)
    assert home.change_counter == count
    operations.change_household(session, home_id, {"region": "Northmere"}, **WRITING)
    assert home.change_counter == count + 1


def test_the_audit_trail_names_fields_and_never_values(session: SchemeSession) -> None:
    home_id = open_home(session)
    operations.change_household(session, home_id, {"address": "2 Quince Row", "postcode": "ZZ2"}, **WRITING)
    assert audited(session)[-1] == ("change", "household", ["address", "postcode"])


def test_a_change_that_breaks_a_rule_changes_nothing(session: SchemeSession) -> None:
    home_id = open_home(session)
    with pytest.raises(Rejected):
        operations.change_household(session, home_id, {"address": "elsewhere", "zone": "Mars/Olympus"}, **WRITING)
    assert operations.get_household(session, home_id).address == "1 Quince Row"


def test_a_change_is_counted_and_announced_once_a_transaction(session: SchemeSession) -> None:
    home_id = open_home(session)
    session.commit()
    home, before = operations.get_household(session, home_id), len(events(session))
    session.commit()
    version, count = home.version, home.change_counter
    operations.note_change(session, home_id, at=NOON)
    operations.note_change(session, home_id, at=NOON)
    assert (home.change_counter, home.version) == (count + 1, version)
    assert events(session)[before:] == [{"household_id": home_id, "change_counter": count + 1}]
    session.commit()
    operations.note_change(session, home_id, at=NOON)
    assert home.change_counter == count + 2


def test_a_change_that_was_rolled_back_is_counted_anew(session: SchemeSession) -> None:
    home_id = open_home(session)
    session.commit()
    count = operations.get_household(session, home_id).change_counter
    operations.note_change(session, home_id, at=NOON)
    session.rollback()
    operations.note_change(session, home_id, at=NOON)
    session.commit()
    assert session.scalar(select(Household.change_counter)) == count + 1


@pytest.fixture
def other_session(database: Database, session: SchemeSession) -> Iterator[SchemeSession]:
    """A session of another scheme, after the first one's work was committed."""
    from service.accounts.operations import create_scheme

    session.commit()
    with database.system(write=True) as system:
        create_scheme(system, scheme_id=OTHER_SCHEME, name="Brackwater", now=NOON)
    with database.scheme_session(OTHER_SCHEME, write=True) as other:
        yield other


def test_another_schemes_home_is_not_found(session: SchemeSession, other_session: SchemeSession) -> None:
    home_id = open_home(session)
    session.commit()
    for call in (
        lambda: operations.get_household(other_session, home_id),
        lambda: operations.note_change(other_session, home_id, at=NOON),
        lambda: operations.change_household(other_session, home_id, {"address": "x"}, **WRITING),
        lambda: operations.put_supply(other_session, home_id, SupplyDetails(), **WRITING),
        lambda: operations.get_home_view(other_session, home_id),
    ):
        with pytest.raises(NotFound):
            call()
    assert operations.open_household(other_session, home_details(), **WRITING).reference == "H-1"


def test_a_supply_is_recorded_and_replaced(session: SchemeSession) -> None:
    home_id = open_home(session)
    assert operations.find_supply(session, home_id) is None
    operations.put_supply(session, home_id, SupplyDetails(fuse_a=60), **WRITING)
    operations.put_supply(session, home_id, SupplyDetails(fuse_a=80, earthing="tt"), **WRITING)
    supply = operations.find_supply(session, home_id)
    assert supply is not None
    assert (supply.fuse_a, supply.earthing, supply.looped) == (80, "tt", "not_known")
    assert audited(session)[-1] == ("put", "supply", ["fuse_a", "earthing"])


def test_a_stop_raises_the_counter_and_stands_at_it_whatever_changes_later(session: SchemeSession) -> None:
    home_id = open_home(session)
    session.commit()
    version = operations.get_household(session, home_id).version
    operations.note_stop(session, home_id, at=NOON)
    session.commit()
    session.expire_all()
    household = operations.get_household(session, home_id)
    assert (household.stopped_at_change, household.stopped_at) == (household.change_counter, NOON)
    assert household.version == version
    operations.note_change(session, home_id, at=NOON)
    session.commit()
    session.expire_all()
    household = operations.get_household(session, home_id)
    assert household.stopped_at_change == household.change_counter - 1


def test_changes_noted_at_once_are_each_counted_and_announced(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        home_id = open_home(session)

    def note(_: int) -> None:
        for _again in range(5):
            with database.scheme(scheme, write=True) as session:
                operations.note_change(session, home_id, at=NOON)

    at_once(6, note)
    with database.scheme(scheme, write=False) as session:
        counters = [payload["change_counter"] for payload in events(session)]
        assert counters == list(range(counters[0], counters[0] + 31))
        assert session.scalars(select(Household.change_counter)).one() == counters[-1]
