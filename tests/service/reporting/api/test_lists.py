"""The list of homes: search, filters, sorts and pages, all in one statement."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, update

from service.accounts import operations as accounts
from service.accounts.models import Account
from service.common.clock import FixedClock
from service.households.models import Household
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.settings import Settings
from service.planning.models import CurrentPlan
from service.reporting.operations import SORTS
from service.safety.models import ClearanceStatus
from service.worker import create_worker
from tests.conftest import NOON
from tests.factories.databases import Databases
from tests.factories.fleet import make_fleet
from tests.factories.notices import add_told_person
from tests.factories.reminders import add_home

URL = "/api/v1/households"
SCHEME = "a" * 32


@pytest.fixture(scope="module")
def twelve(databases: Databases, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a database with twelve planned homes, some of them each in a way of its own; tests copy it."""
    folder = tmp_path_factory.mktemp("twelve")
    url = databases.migrated(folder)
    database = Database(url)
    with database.system(write=True) as session:
        accounts.create_scheme(session, scheme_id=SCHEME, name="Marlpit Works", now=NOON)
    ids = make_fleet(database, SCHEME, 12, seed=3, now=NOON).household_ids
    settings = Settings(database_url=url, data_dir=str(folder))
    create_worker(settings, database=database, clock=FixedClock(NOON)).prepare_plans()
    with database.scheme(SCHEME, write=True) as session:
        for number, household_id in enumerate(ids):
            session.execute(
                update(Household)
                .where(Household.id == household_id)
                .values(reference=f"R-{number:02d}", member_name=f"Member {number} 100%_sure" if number == 5 else "Ada")
            )
        session.execute(update(CurrentPlan).where(CurrentPlan.id == ids[1]).values(short_wh=4_000))
        status = {row.household_id: row for row in session.scalars(select(ClearanceStatus))}
        status[ids[2]].clearance = "do_not_use"
        status[ids[3]].valid_until_on = date(2026, 11, 25)
        status[ids[4]].next_recheck_on = date(2026, 11, 24)
    database.close()
    yield url
    databases.drop(url)


@pytest.fixture
def database_url(twelve: str, databases: Databases, tmp_path: Path) -> Iterator[str]:
    url = databases.copy(twelve, tmp_path)
    yield url
    databases.drop(url)


@pytest.fixture
def scheme() -> str:
    return SCHEME


@pytest.fixture
def administrator(scheme: str, client: Callable[..., Any]) -> Any:
    return client("administrator", scheme)


def found(client: Any, query: str) -> tuple[list[str], int]:
    reply = client.get(f"{URL}?{query}")
    assert reply.status_code == 200, reply.get_data(as_text=True)
    return [row["reference"] for row in reply.get_json()["items"]], reply.get_json()["total"]


@pytest.mark.parametrize(
    ("query", "references", "total"),
    [
        ("page_size=3", ["R-00", "R-01", "R-02"], 12),
        ("page_size=3&page=4", ["R-09", "R-10", "R-11"], 12),
        ("page_size=3&page=5", [], 12),
        ("sort=-reference&page_size=2", ["R-11", "R-10"], 12),
        ("search=r-07", ["R-07"], 1),
        ("search=100%25_sure", ["R-05"], 1),
        ("search=%25", ["R-05"], 1),
        ("search=nobody", [], 0),
        ("shortfall=true", ["R-01"], 1),
        ("clearance=do_not_use", ["R-02"], 1),
        ("overdue=true", ["R-04"], 1),
        ("shortfall=true&clearance=do_not_use", [], 0),
        ("tariff_id=" + "0" * 32, [], 0),
    ],
)
def test_filters_sorts_and_pages(administrator: Any, query: str, references: list[str], total: int) -> None:
    assert found(administrator, query) == (references, total)


def test_a_lapsed_clearance_counts_as_not_known(administrator: Any) -> None:
    references, _total = found(administrator, "clearance=not_known")
    assert "R-03" in references
    assert "R-03" not in found(administrator, "clearance=fit_to_use")[0]


@pytest.mark.parametrize("key", sorted(SORTS))
def test_every_sort_key_orders_both_ways_and_lists_every_home(administrator: Any, key: str) -> None:
    up, _ = found(administrator, f"sort={key}")
    down, _ = found(administrator, f"sort=-{key}")
    assert sorted(up) == sorted(down) == [f"R-{number:02d}" for number in range(12)]


def test_an_unknown_sort_key_is_refused_by_name(administrator: Any) -> None:
    reply = administrator.get(f"{URL}?sort=password_hash")
    assert reply.status_code == 422
    assert reply.get_json()["errors"][0]["pointer"] == "#/sort"


def test_the_list_takes_a_fixed_number_of_statements(administrator: Any, database: Database) -> None:
    from sqlalchemy import event

    counts = []
    for size in (2, 12):
        seen: list[str] = []
        listener = lambda conn, cur, statement, *rest, into=seen: into.append(statement)  # noqa: E731
        event.listen(database.engine, "before_cursor_execute", listener)
        found(administrator, f"page_size={size}")
        event.remove(database.engine, "before_cursor_execute", listener)
        counts.append(len([statement for statement in seen if statement.startswith("SELECT")]))
    assert counts == [3, 3]  # who is asking, how many, which


def test_the_delivery_record_shows_what_did_not_arrive_first_with_its_reason(
    client: Any, database: Database, scheme: str
) -> None:
    administrator = client("administrator", scheme)
    with database.scheme(scheme, write=True) as session:
        home = add_home(session)
        account_id = session.scalars(select(Account.id).where(Account.email == "person1@administrator.example")).one()
        refused = add_told_person(session, home, account_id)["mail_id"]
        newer = {"kind": "plan_changed", "recipient": "a@b.example", "subject": "s", "text": "t", "html": "h"}
        session.add(Mail(**newer, dedupe_key="k", message_id="<k@x>", queued_at=NOON, status="sent", sent_at=NOON))

    def ids(query: str) -> list[str]:
        return [item["id"] for item in administrator.get(f"/api/v1/mail?{query}").get_json()["items"]]

    [first, second] = administrator.get("/api/v1/mail?sort=problems").get_json()["items"]
    assert (first["id"], first["reason"], first["can_resend"]) == (refused, "RCPT: 550", True)
    assert first["person"] == "Person 1" and second["person"] is None
    assert "a@b.example" not in administrator.get("/api/v1/mail").get_data(as_text=True)
    assert ids("") == [second["id"], refused]
    assert ids("problem=true") == ids("kind=safety_stop") == ids(f"household_id={home}") == [refused]
    assert ids("problem=false") == ids("status=sent") == [second["id"]]
