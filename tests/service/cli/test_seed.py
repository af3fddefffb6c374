"""The demo scheme: loads whole, twice without a change, and holds every branch that it says it shows."""

import json
import shutil
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from argon2 import PasswordHasher
from sqlalchemy import delete, select

from service.accounts.models import Account, Membership
from service.accounts.operations import find_account, is_password_right
from service.cli.seed import SeedError, load_demo, sign_ins
from service.cli.seed.files import Moment, Node
from service.common.clock import FixedClock
from service.common.money import parse_pence
from service.common.slots import slot_index
from service.households.models import Contract, Household, Vehicle
from service.infrastructure.db.base import Base
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.settings import Settings
from service.safety.domain.inspection_details import InspectionDetails
from service.safety.models import Recheck
from service.safety.operations import record_inspection
from service.tariffs.domain.prices import price_slots
from service.tariffs.domain.terms import Contract as ContractTerms
from service.tariffs.domain.terms import TariffTerms
from service.tariffs.models import HalfHourPrice, RateBand, Tariff, TariffVersion
from service.tariffs.operations import load_terms, publish_version
from service.worker import create_worker
from tests.factories.demo_homes import StoredHome, charging_times, stored_homes

SEED = Path(__file__).parents[3] / "seed"
LONDON = ZoneInfo("Europe/London")
WEDNESDAY = datetime(2026, 11, 25, 12, 3, 4, tzinfo=UTC)
QUICK = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
HOMES = {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in sorted((SEED / "homes").glob("*.json"))}

# Check values of the trade and windows on sale: the demo's own must be none of them.
FORBIDDEN_UP = {parse_pence(text) for text in ("28", "28.35", "7.9", "30.7", "26.25")}
FORBIDDEN_WINDOWS = {(30, 330), (30, 270), (1410, 330)}


def _database(folder: Path, migrated_file: Path) -> Database:
    shutil.copy(migrated_file, folder / "demo.sqlite3")
    return Database(f"sqlite:///{folder / 'demo.sqlite3'}")


def _load(database: Database, *, now: datetime = WEDNESDAY, folder: Path = SEED) -> str:
    return load_demo(database, now=now, hasher=QUICK, folder=folder).scheme_id


def _plan(database: Database, folder: Path, now: datetime) -> None:
    """Carry events and plan, as the demo does before it opens its doors; no mail leaves."""
    settings = Settings(database_url=str(database.engine.url), data_dir=str(folder))
    create_worker(settings, database=database, clock=FixedClock(now)).prepare_plans()


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[tuple[Database, str]]:
    """The demo, loaded and planned once; tests only read it."""
    folder = tmp_path_factory.mktemp("demo")
    database = _database(folder, migrated_file)
    scheme_id = _load(database)
    _plan(database, folder, WEDNESDAY)
    yield database, scheme_id
    database.close()


@pytest.fixture(scope="module")
def homes(planned: tuple[Database, str]) -> dict[str, StoredHome]:
    """The stored homes by reference."""
    return stored_homes(*planned, now=WEDNESDAY)


@pytest.fixture(scope="module")
def terms(planned: tuple[Database, str]) -> dict[str, TariffTerms]:
    """The published tariffs by name."""
    database, scheme_id = planned
    with database.scheme(scheme_id, write=False) as session:
        found = load_terms(session, session.scalars(select(Tariff.id)).all(), first_slot=0, count=2**31 - 1)
    return {each.name: each for each in found.values()}


def _contents(database: Database) -> dict[str, list[tuple[Any, ...]]]:
    with database.engine.connect() as connection:
        return {
            table.name: sorted((tuple(row) for row in connection.execute(table.select())), key=repr)
            for table in Base.metadata.sorted_tables
        }


# --- loading ---------------------------------------------------------------------------------------------------


def test_the_demo_has_forty_homes_eight_tariffs_and_an_account_for_everybody(database: Database) -> None:
    started = time.perf_counter()
    loaded = load_demo(database, now=WEDNESDAY, hasher=PasswordHasher(), folder=SEED)
    assert time.perf_counter() - started < 30  # ten times what the costliest default hashes take here
    assert (loaded.added_households, loaded.added_tariffs, loaded.added_accounts) == (40, 8, 42)
    with database.scheme(loaded.scheme_id, write=False) as session:
        members = session.scalars(select(Membership).where(Membership.role == "member")).all()
        assert {member.household_id for member in members} == set(session.scalars(select(Household.id)))
        assert len(session.scalars(select(Membership).where(Membership.role == "administrator")).all()) == 1


def test_loading_again_changes_nothing_even_days_later(database: Database) -> None:
    _load(database)
    before = _contents(database)
    later = load_demo(database, now=WEDNESDAY + timedelta(days=3), hasher=QUICK, folder=SEED)
    assert (later.added_households, later.added_tariffs, later.added_accounts) == (0, 0, 0)
    assert _contents(database) == before


def test_loading_again_keeps_edits_and_adds_only_what_is_missing(database: Database) -> None:
    scheme_id = _load(database)
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
    contents = []
    for name in ("one", "two"):
        database = _database(tmp_path_factory.mktemp(name), migrated_file)
        _load(database)
        found = _contents(database)
        hashes = {row[3] for row in found["accounts"]}
        assert len(hashes) == len(found["accounts"])  # a salt for each, though the password is one
        found["accounts"] = [row[:3] for row in found["accounts"]]
        contents.append(found)
        database.close()
    assert contents[0] == contents[1]


@pytest.mark.parametrize(
    "now",
    [datetime(2026, 3, 28, 23, 30, tzinfo=UTC), datetime(2026, 10, 24, 0, 10, tzinfo=UTC), datetime(2028, 2, 29, tzinfo=UTC)],
    ids=["the night before summer time", "the day before winter time", "a leap day"],
)
def test_the_demo_loads_on_awkward_days(database: Database, now: datetime) -> None:
    scheme_id = _load(database, now=now)
    assert len(stored_homes(database, scheme_id, now=now)) == 40


def test_nothing_is_announced_and_no_mail_is_written_by_loading(database: Database) -> None:
    _load(database)
    contents = _contents(database)
    assert not contents["events"]
    assert not contents["mail"]


# --- sign-ins --------------------------------------------------------------------------------------------------


def test_each_documented_address_signs_in_with_the_documented_password(database: Database) -> None:
    _load(database)
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
    for home in HOMES.values():
        assert f"| {home['reference']} | {'; '.join(home['shows'])} |" in readme
    for path in (SEED / "tariffs").glob("*.json"):
        tariff = json.loads(path.read_text(encoding="utf-8"))
        assert f"| `{path.name}` {tariff['name']} | {'; '.join(tariff['shows'])} |" in readme


# --- branches of homes -----------------------------------------------------------------------------------------


def _states(home: StoredHome) -> list[str]:
    return [clearance.clearance.value for clearance in home.clearances]


def _has_price_of(home: StoredHome, sheet: int, version: int = -1) -> bool:
    """Tell whether the home pays by the sheet at a position of its tariff's last version."""
    assert home.tariff is not None
    prices = _priced(home, home.tariff)
    expected = home.tariff.versions[version].sheets[sheet]
    return bool(prices.is_known.all()) and prices.standing_up_per_day == expected.standing_up_per_day * 105 // 100


def _priced(home: StoredHome, tariff: TariffTerms) -> Any:
    contract = ContractTerms(home.contracts[-1].starts_on, region=home.home.region, payment=home.home.payment)
    return price_slots(
        kind=tariff.kind, clock=tariff.clock, versions=tariff.versions, series=None, contract=contract,
        first_slot=slot_index(home.now), count=48, zone=LONDON, nation=home.home.nation,
    )


def _is_away_over_midnight(home: StoredHome) -> bool:
    return bool(home.routine) and all(
        line.returns_days_later == 1 and line.leaves_at.hour >= 20 and line.returns_at.hour <= 8 for line in home.routine
    )


def _has_region_series(home: StoredHome) -> bool:
    return home.tariff is not None and home.home.region in home.tariff.series


BRANCHES: dict[str, Callable[[StoredHome], bool]] = {
    "two cars on one outlet": lambda h: len(h.cars) == 2 and len({car.outlet_id for car in h.cars}) == 1,
    "two members in one home": lambda h: len(h.members) == 2,
    "untethered point": lambda h: h.outlets[0].is_tethered is False
    and all(lead.kind == "mode_3_cable" for lead in h.leads),
    "the member whose blocks move when the draft is published": lambda h: bool(h.plan["vehicles"][0]["stays"]),
    "open C2 observation: do not use": lambda h: "C2" in h.open_codes and _states(h) == ["do_not_use"],
    "overdue recheck of a lead, inspection valid": lambda h: _states(h) == ["fit_to_use"]
    and any(r.item_kind == "lead" and r.done_on is None and r.due_on < h.today for r in h.rechecks)
    and h.standing.next_recheck_on < h.today,
    "inspection lapses within the week": lambda h: _states(h) == ["fit_to_use"]
    and h.today < h.inspections[-1].next_due_on <= h.today + timedelta(days=7),
    "C3 observation only: fit to use": lambda h: h.open_codes == {"C3"} and _states(h) == ["fit_to_use"],
    "no inspection: not known": lambda h: not h.inspections and _states(h) == ["not_known"],
    "open FI observation: do not use": lambda h: h.open_codes == {"FI"} and _states(h) == ["do_not_use"],
    "an observation that has been closed": lambda h: any(finding.closed_on for finding in h.observations),
    "inspection lapsed: not known, recheck overdue": lambda h: _states(h) == ["not_known"]
    and bool(h.inspections) and h.standing.next_recheck_on < h.today,
    "dynamic half-hourly prices": lambda h: h.tariff is not None
    and h.tariff.kind == "half_hourly" and not _has_region_series(h),
    "tethered point": lambda h: h.outlets[0].is_tethered is True and h.cars[0].lead_id is None,
    "dynamic half-hourly prices of its own region": _has_region_series,
    "several short drives a day": lambda h: len({line.leaves_at for line in h.routine if line.weekday == 0}) == 2,
    "GMT meter, two rates": lambda h: h.tariff is not None and h.tariff.clock == "gmt" and not h.contracts[0].windows,
    "a meter with windows of its own": lambda h: bool(h.contracts[-1].windows),
    "a meter whose clock differs from its tariff's": lambda h: h.tariff is not None
    and h.contracts[0].clock == "gmt" and h.tariff.clock == "local",
    "prices by region and payment method: direct debit": lambda h: _has_price_of(h, 0),
    "prices by region and payment method: any other payment": lambda h: _has_price_of(h, 1),
    "prices by region and payment method: prepayment": lambda h: _has_price_of(h, 2),
    "a region for which the tariff has no prices": lambda h: "no prices for region" in h.plan["missing_prices"][0],
    "contract that has ended": lambda h: h.tariff is None and "contract ended" in h.plan["missing_prices"][0],
    "contract that ends within the week": lambda h: h.today < h.contracts[-1].ends_on <= h.today + timedelta(days=7)
    and bool(h.plan["missing_prices"]),
    "an earlier contract on another tariff": lambda h: len({contract.tariff_id for contract in h.contracts}) == 2,
    "three-phase home": lambda h: (h.supply.phases, h.outlets[0].phases, h.cars[0].onboard_phases) == (3, 3, 3),
    "night-shift worker": _is_away_over_midnight,
    "long weekend journey, important": lambda h: h.journeys[0].is_important
    and h.journeys[0].leaves_at.weekday() == 4
    and h.journeys[0].returns_at - h.journeys[0].leaves_at > timedelta(days=3)
    and h.now < h.journeys[0].leaves_at < h.now + timedelta(days=7),
    "a car whose reserve cannot be met: too few hours at home": lambda h: "too_few_hours_at_home" in h.causes,
    "a car whose reserve cannot be met: battery too small": lambda h: "battery_too_small" in h.causes,
    "a lead set to 6 A": lambda h: h.lead_of(h.cars[0]).set_a == 6 < h.lead_of(h.cars[0]).rated_a,
    "Scotland: its own bank holidays": lambda h: h.home.nation == "scotland",
    "Wales": lambda h: h.home.nation == "wales",
    "Northern Ireland: its own bank holidays": lambda h: h.home.nation == "northern_ireland",
    "seasonal and bank-holiday bands": lambda h: h.tariff is not None and _has_bands_by_day_and_month(h.tariff),
    "a home with no car": lambda h: not h.cars,
    "a car without a state-of-charge reading": lambda h: h.cars[0].charge_percent is None
    and h.cars[0].charge_read_at is None and h.plan["vehicles"][0]["charge_basis"] == "not_known",
    "flat tariff": lambda h: h.tariff is not None and len(h.tariff.versions[-1].sheets[0].bands) == 1,
    "a dated journey beside the routine": lambda h: not h.journeys[0].replaces_routine,
    "a cheap window that crosses midnight": lambda h: h.tariff is not None and _crosses_midnight(h.tariff),
    "two cars on two outlets, only one cleared": lambda h: len({car.outlet_id for car in h.cars}) == 2
    and sorted(_states(h)) == ["fit_to_use", "not_known"] and h.standing.clearance == "not_known",
    "a car that no outlet has been chosen for": lambda h: h.cars[0].outlet_id is None,
    "away for several days each week": lambda h: any(line.returns_days_later >= 2 for line in h.routine),
    "looped supply with earth electrode": lambda h: (h.supply.looped, h.supply.earthing) == ("yes", "tt"),
    "a new home: no contract, no routine, supply not known": lambda h: not h.contracts
    and not h.routine and h.supply.fuse_a is None and h.supply.earthing == "not_known",
}


def _has_bands_by_day_and_month(tariff: TariffTerms) -> bool:
    windows = [window for band in tariff.versions[-1].sheets[0].bands for window in band.windows]
    return any(len(w.months) < 12 for w in windows) and any("weekday" not in w.day_kinds for w in windows)


def _crosses_midnight(tariff: TariffTerms) -> bool:
    return any(w.ends_at_min < w.starts_at_min for b in tariff.versions[-1].sheets[0].bands for w in b.windows)


@pytest.mark.parametrize(
    ("reference", "branch"), [(home["reference"], branch) for home in HOMES.values() for branch in home["shows"]]
)
def test_a_stored_home_has_the_branch_its_file_is_there_for(
    homes: dict[str, StoredHome], reference: str, branch: str
) -> None:
    assert BRANCHES[branch](homes[reference])


def test_every_branch_has_a_home() -> None:
    assert {branch for home in HOMES.values() for branch in home["shows"]} == set(BRANCHES)


def test_most_homes_are_on_the_tariff_whose_draft_waits(homes: dict[str, StoredHome]) -> None:
    on_it = [home for home in homes.values() if home.tariff and home.tariff.name == "Night saver (invented)"]
    assert len(on_it) > len(homes) / 2


def test_half_hourly_prices_go_below_nothing_ahead_and_some_are_missing(terms: dict[str, TariffTerms]) -> None:
    now = slot_index(WEDNESDAY)
    for series in terms["Half-hour market (invented)"].series.values():
        ahead = {slot: price for slot, price in series.items() if slot >= now}
        assert min(ahead.values()) < 0
        assert len(ahead) < max(ahead) - now + 1  # a gap within what was received
        assert max(ahead) < now + 7 * 48  # and the week's end not received at all
    assert set(terms["Half-hour market (invented)"].series) == {"", "Saltmarsh"}


def test_the_draft_moves_the_cheap_hours_and_starts_tomorrow(planned: tuple[Database, str]) -> None:
    database, scheme_id = planned
    with database.scheme(scheme_id, write=False) as session:
        draft = session.scalars(select(TariffVersion).where(TariffVersion.published_at.is_(None))).one()
        found = load_terms(session, [draft.tariff_id], first_slot=0, count=1, with_draft=draft.id)[draft.tariff_id]
    night_before, night_after = (version.sheets[0].bands[0].windows[0] for version in found.versions[-2:])
    assert (night_before.starts_at_min, night_after.starts_at_min) == (60, 150)
    assert draft.valid_from_on == WEDNESDAY.date() + timedelta(days=1)


def test_no_demo_price_or_window_is_a_check_value_or_on_sale(planned: tuple[Database, str]) -> None:
    database, scheme_id = planned
    with database.scheme(scheme_id, write=False) as session:
        prices = set(session.scalars(select(RateBand.price_up))) | set(session.scalars(select(HalfHourPrice.price_up)))
        windows = {
            (window["starts_at_min"], window["ends_at_min"])
            for stored in session.scalars(select(RateBand.windows))
            for window in stored
        }
        for stored in session.scalars(select(Contract.windows)):
            windows |= {tuple(span) for spans in stored.values() for span in spans}
    assert len(prices) > 50
    assert not prices & FORBIDDEN_UP
    assert len(windows) > 8
    assert not windows & FORBIDDEN_WINDOWS


def test_postcodes_and_addresses_are_obviously_invented(homes: dict[str, StoredHome]) -> None:
    assert all(home.home.postcode.startswith("ZZ") for home in homes.values())
    assert len({home.home.postcode for home in homes.values()}) == 40


def test_rechecks_of_seeded_inspections_are_those_that_recording_them_sets(
    database: Database, homes: dict[str, StoredHome]
) -> None:
    seeded = homes["H-08"]
    scheme_id = _load(database)
    with database.scheme(scheme_id, write=True) as session:
        session.execute(delete(Recheck).where(Recheck.household_id == seeded.home.id))
        for each in seeded.inspections:
            details = InspectionDetails(
                each.outlet_id, each.inspected_on, each.next_due_on, each.certificate_number + "/again", each.electrician
            )
            record_inspection(session, seeded.home.id, details, by=None, at=WEDNESDAY)
        recorded = session.scalars(select(Recheck).where(Recheck.household_id == seeded.home.id)).all()
    assert {_due(row) for row in recorded} == {_due(row) for row in seeded.rechecks}


def _due(row: Recheck) -> tuple[Any, ...]:
    return row.item_kind, row.item_id, row.due_on, row.rule, row.done_on


# --- the story -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "now", [WEDNESDAY, datetime(2027, 6, 5, 6, 45, tzinfo=UTC)], ids=["a winter Wednesday", "a summer Saturday"]
)
def test_publishing_the_draft_moves_times_and_writes_to_the_members(
    database: Database, tmp_path: Path, now: datetime
) -> None:
    scheme_id = _load(database, now=now)
    _plan(database, tmp_path, now)
    before = charging_times(database, scheme_id)
    with database.scheme(scheme_id, write=True) as session:
        draft = session.scalars(select(TariffVersion).where(TariffVersion.published_at.is_(None))).one()
        publish_version(session, draft.tariff_id, draft.id, by=None, at=now)
    _plan(database, tmp_path, now)
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


# --- faults ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("file", "change", "place", "rule"),
    [
        ("homes/h-02-blocks-move.json", lambda v: v["cars"][0].update(ceiling_percent=120), "cars.0.ceiling_percent", "100 %"),
        ("homes/h-02-blocks-move.json", lambda v: v["cars"][0].update(outlet="attic"), "cars.0.outlet", "does not have"),
        ("homes/h-02-blocks-move.json", lambda v: v.update(colour="red"), "the whole file", "has no place for colour"),
        ("homes/h-02-blocks-move.json", lambda v: v.pop("zone"), "the whole file", "lacks zone"),
        ("homes/h-02-blocks-move.json", lambda v: v.update(zone="Asia/Kathmandu"), "zone", "half-hours"),
        ("homes/h-02-blocks-move.json", lambda v: v["contracts"][0].update(tariff="None"), "contracts.0.tariff", "tariffs/"),
        ("homes/h-02-blocks-move.json", lambda v: v["inspections"][0].update(inspected_on="+1d"), "inspections.0.inspected_on", "future"),
        ("homes/h-02-blocks-move.json", lambda v: v["inspections"][0].update(inspected_on="2026"), "inspections.0.inspected_on", "days from today"),
        ("homes/h-02-blocks-move.json", lambda v: v["members"][0].update(email="a@real.com"), "members.0.email", ".example"),
        ("homes/h-04-overdue-lead-recheck.json", lambda v: v["rechecks"][0].update(item="hose"), "rechecks.0.item", "label of a lead"),
        ("homes/h-24-long-weekend.json", lambda v: v["cars"][0]["journeys"][0].update(leaves_at="soon"), "cars.0.journeys.0.leaves_at", "friday"),
        ("tariffs/night-saver.json", lambda v: v["versions"][0]["sheets"][0]["bands"][0].update(price_pence_per_kwh="1e1"), "versions.0.sheets.0.bands.0.price_pence_per_kwh", "plain decimal"),
        ("tariffs/night-saver.json", lambda v: v["versions"][0]["sheets"][0]["bands"][1].update(is_otherwise=False), "versions.0.sheets.0.bands.1", "window"),
        ("tariffs/half-hour-market.json", lambda v: v["prices"][0].update(patterns_by_week=["calm storm"]), "prices.0.patterns_by_week", "storm"),
        ("scheme.json", lambda v: v["sign_ins"][0].update(email="nobody@marlpit.example"), "sign_ins", "no account"),
        ("scheme.json", lambda v: v.update(demo_password="short"), "password", "15"),
    ],
)  # fmt: skip
def test_a_faulty_file_is_refused_by_file_and_place_before_anything_is_written(
    database: Database, tmp_path: Path, file: str, change: Callable[[Any], object], place: str, rule: str
) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    value = json.loads((folder / file).read_text(encoding="utf-8"))
    change(value)
    (folder / file).write_text(json.dumps(value), encoding="utf-8")
    with pytest.raises(SeedError) as refused:
        _load(database, folder=folder)
    message = str(refused.value)
    assert message.startswith(f"{file}: {place}")
    assert rule in message
    assert not any(_contents(database).values())


def test_a_file_that_is_not_json_or_says_a_name_twice_is_refused(database: Database, tmp_path: Path) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    for text in ("{", '{"name": "a", "name": "b"}'):
        (folder / "scheme.json").write_text(text, encoding="utf-8")
        with pytest.raises(SeedError, match=r"scheme\.json: is not JSON"):
            _load(database, folder=folder)


def test_two_homes_of_one_reference_are_refused(database: Database, tmp_path: Path) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    shutil.copy(folder / "homes" / "h-02-blocks-move.json", folder / "homes" / "h-99.json")
    with pytest.raises(SeedError, match="more than one is named H-02"):
        _load(database, folder=folder)


# --- relative dates --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("-3h", datetime(2026, 11, 25, 9, 3, 4, tzinfo=UTC)),
        ("+2d 06:40", datetime(2026, 11, 27, 6, 40, tzinfo=UTC)),
        ("friday 15:30", datetime(2026, 11, 27, 15, 30, tzinfo=UTC)),
        ("wednesday 12:00", datetime(2026, 12, 2, 12, 0, tzinfo=UTC)),
        ("wednesday 12:30", datetime(2026, 11, 25, 12, 30, tzinfo=UTC)),
    ],
)
def test_instants_count_from_loading_and_a_weekday_is_the_next_one(text: str, expected: datetime) -> None:
    node = Node("home.json", "", {"leaves_at": text})
    assert node.instant("leaves_at", Moment(WEDNESDAY, LONDON), LONDON) == expected
