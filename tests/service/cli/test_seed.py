"""The demo scheme loads whole, loads again without a change, signs in as documented and tells its story."""

import json
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import delete, select

from service.accounts.models import Account, Membership
from service.accounts.operations import find_account, is_password_right
from service.cli.seed import load_demo, sign_ins
from service.households.models import Household, Vehicle
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.tariffs.models import TariffVersion
from service.tariffs.operations import publish_version
from tests.factories.demo_homes import QUICK, SEED, WEDNESDAY, charging_times, contents, load, plan, stored_homes

LONDON = ZoneInfo("Europe/London")


def test_the_demo_has_forty_homes_eight_tariffs_and_an_account_for_everybody(database: Database) -> None:
    loaded = load_demo(database, now=WEDNESDAY, hasher=QUICK, folder=SEED)
    assert (loaded.added_households, loaded.added_tariffs, loaded.added_accounts) == (40, 8, 44)
    with database.scheme(loaded.scheme_id, write=False) as session:
        members = session.scalars(select(Membership).where(Membership.role == "member")).all()
        assert {member.household_id for member in members} == set(session.scalars(select(Household.id)))
        assert len(session.scalars(select(Membership).where(Membership.role == "administrator")).all()) == 2
        finance = session.scalars(select(Membership).where(Membership.role == "finance")).all()
        assert [each.household_id for each in finance] == [None]


def test_loading_again_changes_nothing_even_days_later(database: Database) -> None:
    load(database)
    before = contents(database)
    later = load_demo(database, now=WEDNESDAY + timedelta(days=3), hasher=QUICK, folder=SEED)
    assert (later.added_households, later.added_tariffs, later.added_accounts) == (0, 0, 0)
    assert contents(database) == before


def test_loading_again_keeps_edits_and_adds_only_what_is_missing(database: Database) -> None:
    scheme_id = load(database)
    with database.scheme(scheme_id, write=True) as session:
        kept, gone = session.scalars(select(Household).order_by(Household.reference).limit(2)).all()
        kept.address, gone_id = "moved away", gone.id
        session.execute(delete(Household).where(Household.id == gone_id))
    assert load_demo(database, now=WEDNESDAY, hasher=QUICK, folder=SEED).added_households == 1
    with database.scheme(scheme_id, write=False) as session:
        assert session.get_one(Household, (scheme_id, kept.id)).address == "moved away"
        assert session.get_one(Household, (scheme_id, gone_id)).reference == "H-02"
        assert session.scalars(select(Vehicle).where(Vehicle.household_id == gone_id)).one()


def test_the_same_instant_gives_the_same_rows_but_for_salted_hashes(
    tmp_path_factory: pytest.TempPathFactory, migrated_file: Path
) -> None:
    loaded = []
    for name in ("one", "two"):
        file = shutil.copy(migrated_file, tmp_path_factory.mktemp(name) / "demo.sqlite3")
        database = Database(f"sqlite:///{file}")
        load(database)
        found = contents(database)
        hashes = {row[3] for row in found["accounts"]}
        assert len(hashes) == len(found["accounts"])  # a salt for each, though the password is one
        found["accounts"] = [row[:3] for row in found["accounts"]]
        loaded.append(found)
        database.close()
    assert loaded[0] == loaded[1]


@pytest.mark.parametrize(
    "now",
    [
        datetime(2026, 3, 28, 23, 30, tzinfo=UTC),
        datetime(2026, 10, 24, 0, 10, tzinfo=UTC),
        datetime(2028, 2, 29, tzinfo=UTC),
    ],
    ids=["the night before summer time", "the day before winter time", "a leap day"],
)
def test_the_demo_loads_on_awkward_days(database: Database, now: datetime) -> None:
    scheme_id = load(database, now=now)
    assert len(stored_homes(database, scheme_id, now=now)) == 40


def test_nothing_is_announced_and_no_mail_is_written_by_loading(database: Database) -> None:
    load(database)
    found = contents(database)
    assert not found["events"]
    assert not found["mail"]


def test_each_documented_address_signs_in_with_the_documented_password(database: Database) -> None:
    load(database)
    found = sign_ins(SEED)
    assert len(found.password) >= 15
    with database.system(write=False) as session:
        for email, _what in found.people:
            assert is_password_right(find_account(session, email), found.password, QUICK, QUICK.hash("x"))
        assert all(email.endswith(".example") for email in session.scalars(select(Account.email)))


def test_the_readme_lists_the_sign_ins_and_what_each_home_and_tariff_shows() -> None:
    readme = (SEED / "README.md").read_text(encoding="utf-8")
    found = sign_ins(SEED)
    assert f"`{found.password}`" in readme
    for email, what in found.people:
        assert f"| `{email}` | {what} |" in readme
    for path in (SEED / "homes").glob("*.json"):
        home = json.loads(path.read_text(encoding="utf-8"))
        assert f"| {home['reference']} | {'; '.join(home['shows'])} |" in readme
    for path in (SEED / "tariffs").glob("*.json"):
        tariff = json.loads(path.read_text(encoding="utf-8"))
        assert f"| `{path.name}` {tariff['name']} | {'; '.join(tariff['shows'])} |" in readme


@pytest.mark.parametrize(
    "now", [WEDNESDAY, datetime(2027, 6, 5, 6, 45, tzinfo=UTC)], ids=["a winter Wednesday", "a summer Saturday"]
)
def test_publishing_the_draft_moves_times_and_writes_to_the_members(
    database: Database, tmp_path: Path, now: datetime
) -> None:
    scheme_id = load(database, now=now)
    plan(database, tmp_path, now=now)
    before = charging_times(database, scheme_id)
    with database.scheme(scheme_id, write=True) as session:
        draft = session.scalars(select(TariffVersion).where(TariffVersion.published_at.is_(None))).one()
        publish_version(session, draft.tariff_id, draft.id, by=None, at=now)
    plan(database, tmp_path, now=now)
    after = charging_times(database, scheme_id)
    moved = {household_id for household_id, times in after.items() if times != before[household_id]}
    with database.scheme(scheme_id, write=False) as session:
        member = session.scalars(select(Household.id).where(Household.reference == "H-02")).one()
        mailed = set(session.scalars(select(Mail.household_id).where(Mail.kind == "plan_changed")))
    assert member in moved
    assert all(_local_start(block) == "01:00" for block in before[member])
    assert _local_start(after[member][-1]) == "02:30"
    assert mailed == moved
    assert len(moved) >= 10


def _local_start(block: tuple[str, str]) -> str:
    return datetime.fromisoformat(block[0]).astimezone(LONDON).strftime("%H:%M")
