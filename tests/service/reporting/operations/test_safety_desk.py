"""The safety desk: which homes it finds, in which order, and what it says of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts import operations as accounts
from service.accounts.models import Account
from service.households.models import Household
from service.infrastructure.db.sessions import Database, SchemeSession
from service.reminders.models import SafetyNotice
from service.reporting.operations import (
    DESK_SORTS,
    DeskFilter,
    DeskRow,
    count_by_clearance,
    desk_rows,
    list_areas,
    list_desk,
    matching_ids,
)
from service.safety import operations as safety
from service.safety.domain.report_details import IncidentDetails
from service.safety.models import ClearanceStatus, Recheck, Visit
from tests.conftest import NOON
from tests.factories.databases import Databases
from tests.factories.households import furnished_home
from tests.factories.safety import claim, inspect

pytestmark = pytest.mark.both_databases

SCHEME = "a" * 32
TODAY = NOON.date()


@pytest.fixture(scope="module")
def four(databases: Databases, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, dict[str, str]]]:
    """The address of a database that tests copy, and the ids of its homes by their references.

    They are clear, stopped by a sign, never inspected, and with a claim that nobody proved.
    """
    url = databases.migrated(tmp_path_factory.mktemp("four"))
    database = Database(url)
    with database.system(write=True) as system:
        accounts.create_scheme(system, scheme_id=SCHEME, name="Marlpit Works", now=NOON)
    with database.scheme(SCHEME, write=True) as session:
        ids = _add_homes(session)
    database.close()
    yield url, ids
    databases.drop(url)


def _add_homes(session: SchemeSession) -> dict[str, str]:
    ids: dict[str, str] = {}
    for name, postcode in (("clear", "AB1 2CD"), ("stopped", "AB10 3CD"), ("bare", "ZZ1 1AA"), ("claimed", "ZZ1 9AA")):
        home = furnished_home(session, reference=name, postcode=postcode)
        ids[name] = home.id
        if name in ("clear", "stopped"):
            inspect(session, home.id, home.outlet_id)
        if name == "claimed":
            claim(session, home.id, home.outlet_id)
        if name == "stopped":
            details = IncidentDetails("scorch", home.outlet_id, home.lead_id, None, "")
            safety.report_incident(session, home.id, details, by=None, at=NOON)
        safety.refresh_status(session, home.id, at=NOON)
    return ids


@pytest.fixture
def database_url(four: tuple[str, dict[str, str]], databases: Databases, tmp_path: Path) -> Iterator[str]:
    url = databases.copy(four[0], tmp_path)
    yield url
    databases.drop(url)


@pytest.fixture
def scheme() -> str:
    return SCHEME


@pytest.fixture
def homes(four: tuple[str, dict[str, str]]) -> dict[str, str]:
    return four[1]


def found(session: SchemeSession, sort: str = "reference", **wanted: Any) -> list[str]:
    is_descending = sort.startswith("-")
    rows, total = list_desk(
        session, DeskFilter(**wanted), sort=sort.removeprefix("-"), is_descending=is_descending, first=0, limit=50,
        now=NOON,
    )
    assert total == len(rows)
    assert sorted(matching_ids(session, DeskFilter(**wanted), today=TODAY)) == sorted(row.id for row in rows)
    return [row.reference for row in rows]


def row_of(session: SchemeSession, reference: str) -> DeskRow:
    return next(row for row in desk_rows(session, DeskFilter(), now=NOON) if row.reference == reference)


def test_the_worst_comes_first(session: SchemeSession, homes: dict[str, str]) -> None:
    assert found(session, "clearance") == ["stopped", "bare", "claimed", "clear"]
    assert found(session, "-clearance")[0] == "clear"


@pytest.mark.parametrize("sort", DESK_SORTS)
def test_every_sort_lists_every_home_both_ways(session: SchemeSession, homes: dict[str, str], sort: str) -> None:
    assert sorted(found(session, sort)) == sorted(found(session, f"-{sort}")) == sorted(homes)


def test_what_a_home_lacks_finds_it(session: SchemeSession, homes: dict[str, str]) -> None:
    assert found(session, missing="inspection") == ["bare", "claimed"]
    assert found(session, missing="document") == ["claimed"]
    assert found(session, missing="check") == ["bare", "claimed"]
    assert found(session, missing="survey") == sorted(homes)
    assert found(session, missing="acceptance") == []


def test_clearance_and_counts_agree_whatever_else_is_filtered(session: SchemeSession, homes: dict[str, str]) -> None:
    for wanted in ({}, {"area": "ZZ"}, {"missing": "inspection"}):
        counts = count_by_clearance(session, DeskFilter(**wanted), today=TODAY)
        for word, count in counts.items():
            assert len(found(session, clearance=word, **wanted)) == count
    assert count_by_clearance(session, DeskFilter(), today=TODAY)["do_not_use"] == 1


def test_a_lapsed_standing_is_not_known_since_the_day_it_ended(
    session: SchemeSession, homes: dict[str, str]
) -> None:
    status = session.scalars(select(ClearanceStatus).where(ClearanceStatus.household_id == homes["clear"])).one()
    status.valid_until_on = TODAY - timedelta(days=3)
    session.flush()
    row = row_of(session, "clear")
    assert (row.clearance, row.since_on) == ("not_known", TODAY - timedelta(days=3))
    assert "clear" in found(session, clearance="not_known")


def test_an_area_is_how_the_postcode_begins(session: SchemeSession, homes: dict[str, str]) -> None:
    assert found(session, area="ab") == ["clear", "stopped"]
    assert found(session, area="AB10") == ["stopped"]
    assert found(session, area="%") == []
    assert list_areas(session) == ["AB1", "AB10", "ZZ1"]


def test_overdue_rechecks_are_counted_and_a_done_one_is_not(session: SchemeSession, homes: dict[str, str]) -> None:
    for number, done_on in ((1, None), (2, None), (3, TODAY)):
        session.add(
            Recheck(
                household_id=homes["bare"], item_kind="lead", item_id="d" * 32, due_on=date(2026, 10, number), rule="r",
                done_on=done_on,
            )
        )
    session.flush()
    safety.refresh_status(session, homes["bare"], at=NOON)
    row = row_of(session, "bare")
    assert (row.overdue_count, row.next_recheck_on, row.days_left) == (2, date(2026, 10, 1), -55)
    assert "bare" in found(session, is_overdue=True)
    assert "bare" not in found(session, is_overdue=False)


def test_who_was_told_is_the_newest_notice_and_unread_ones_are_counted(
    database: Database, session: SchemeSession, homes: dict[str, str]
) -> None:
    session.add(
        Account(id="e" * 32, email="ada@x.example", name="Ada Fell", password_hash="x", created_at=NOON)
    )
    session.flush()
    for hours, read_at in ((2, None), (1, NOON)):
        session.add(
            SafetyNotice(
                household_id=homes["stopped"], account_id="e" * 32, kind="stop", subject_key=f"k{hours}",
                subject=f"told {hours} h ago", text="t", told_at=NOON - timedelta(hours=hours), read_at=read_at,
            )
        )
    session.flush()
    row = row_of(session, "stopped")
    assert row.details.told is not None
    assert (row.details.told.name, row.details.told.subject, row.unread_count) == ("Ada Fell", "told 1 h ago", 1)
    assert found(session, told="unread") == ["stopped"]
    assert found(session, told="read") == []
    assert found(session, told="nobody") == ["bare", "claimed", "clear"]


def test_what_is_missing_is_said_in_the_words_of_clearance(session: SchemeSession, homes: dict[str, str]) -> None:
    answers = safety.home_clearance(session, homes["bare"], at=NOON)
    wanted = [f"garage socket: {words}" for words in answers.outlets[0].missing]
    wanted += [f"portable lead: {words}" for words in answers.leads[0].missing]
    assert list(row_of(session, "bare").details.missing) == wanted
    assert [outlet.label for outlet in row_of(session, "bare").details.not_clear] == ["garage socket"]
    assert row_of(session, "clear").details.not_clear == ()


def test_an_ended_visit_is_not_open(session: SchemeSession, homes: dict[str, str]) -> None:
    visit = Visit(household_id=homes["bare"], outlet_ids=[], state="date_agreed", asked_at=NOON, agreed_on=TODAY)
    session.add(visit)
    session.flush()
    open_visit = row_of(session, "bare").details.visit
    assert open_visit is not None and open_visit.agreed_on == TODAY
    visit.state = "cancelled"
    session.flush()
    assert row_of(session, "bare").details.visit is None


def test_a_home_without_a_kept_standing_is_listed_as_not_known(
    session: SchemeSession, homes: dict[str, str]
) -> None:
    session.delete(
        session.scalars(select(ClearanceStatus).where(ClearanceStatus.household_id == homes["bare"])).one()
    )
    session.flush()
    row = row_of(session, "bare")
    assert (row.clearance, row.since_on, row.next_recheck_on) == ("not_known", None, None)


def test_the_export_yields_every_home_over_several_chunks(
    session: SchemeSession, homes: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.reporting.operations.safety_desk.EXPORT_CHUNK", 3)
    assert len(list(desk_rows(session, DeskFilter(), now=NOON))) == session.query(Household).count() == 4
