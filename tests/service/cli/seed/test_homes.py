"""Every branch that a home of the demo is there for, asserted from the loaded and planned database."""

import json
import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.common.slots import instant_at, slot_index
from service.infrastructure.db.sessions import Database
from service.planning.domain.need import careful_miles
from service.safety.operations import homes_with_stale_dates, list_home_ids
from service.tariffs.domain.prices import price_slots
from service.tariffs.domain.terms import Contract as ContractTerms
from service.tariffs.domain.terms import TariffTerms
from tests.factories.demo_homes import SEED, WEDNESDAY, StoredHome, load, plan, stored_homes

LONDON = ZoneInfo("Europe/London")
HOMES = [json.loads(path.read_text(encoding="utf-8")) for path in sorted((SEED / "homes").glob("*.json"))]


@pytest.fixture(scope="module")
def homes(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[dict[str, StoredHome]]:
    """The stored homes by reference, loaded and planned once; tests only read them."""
    folder = tmp_path_factory.mktemp("demo")
    shutil.copy(migrated_file, folder / "demo.sqlite3")
    database = Database(f"sqlite:///{folder / 'demo.sqlite3'}")
    scheme_id = load(database)
    plan(database, folder)
    yield stored_homes(database, scheme_id, now=WEDNESDAY)
    database.close()


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
        line.returns_days_later == 1 and line.leaves_at.hour >= 20 and line.returns_at.hour <= 8
        for line in home.routine
    )


def _has_region_series(home: StoredHome) -> bool:
    return home.tariff is not None and home.home.region in home.tariff.series


def _needs(home: StoredHome) -> list[str]:
    assert _states(home) == ["not_known"]
    assert not _blocks(home)
    return [need.value for need in home.clearances[0].needs]


def _blocks(home: StoredHome) -> list[Any]:
    return [block for car in home.plan["vehicles"] for stay in car["stays"] for block in stay["blocks"]]


def _is_limited(home: StoredHome) -> bool:
    return _states(home) == ["use_with_limits"] and bool(home.inspections[0].limit_reason) and bool(_blocks(home))


def _tomorrows_car_has_tonight(home: StoredHome) -> bool:
    """Tell whether the plan gives the coming midnight to the car with the journey, and says so."""
    journey = home.journeys[0]
    midnight = instant_at(home.today + timedelta(days=1), 0, LONDON).isoformat()
    held = [turn for turn in home.plan["turns"] if turn["starts_at"] < midnight < turn["ends_at"]]
    assert journey.is_important and journey.leaves_at.astimezone(LONDON).date() == home.today + timedelta(days=1)
    return [(turn["vehicle_id"], "important journey" in turn["reason"]) for turn in held] == [
        (journey.vehicle_id, True)
    ]


def _has_four_weeks_of_diary(home: StoredHome) -> bool:
    """Tell whether the newest 28 days are kept and tomorrow's miles are those of 9 in 10 days like it."""
    days = {day.on_date: day.miles for day in home.diary}
    assert set(days) == {home.today - timedelta(days=ago) for ago in range(1, 29)}
    kept = sorted(days.items())
    assert careful_miles(kept, home.today + timedelta(days=1), home.home.need_quantile_permille) == 83
    return home.home.need_quantile_permille == 900


BRANCHES: dict[str, Callable[[StoredHome], bool]] = {
    "two cars on one outlet": lambda h: len(h.cars) == 2 and len({car.outlet_id for car in h.cars}) == 1,
    "cars swapped at half past six in the evening": lambda h: h.home.swap_times_min == [18 * 60 + 30],
    "an important journey tomorrow that decides who plugs in tonight": _tomorrows_car_has_tonight,
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
    "a diary of four weeks, by which the plan covers 9 days in 10": _has_four_weeks_of_diary,
    "a point whose half-hours can be set freely, and which may start ten minutes late": lambda h: (
        h.outlets[0].control, h.outlets[0].start_delay_s, h.plan["vehicles"][0]["how_set"]
    ) == ("schedule", 600, "any half-hours"),
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
    "supervised first charge still to come: not known": lambda h: _needs(h) == ["supervised_charge"],
    "a typed inspection, its document missing: not known": lambda h: _needs(h) == ["inspection", "document"]
    and h.inspections[0].source == "typed",
    "an inspection that nobody has accepted yet: not known": lambda h: _needs(h) == ["acceptance"],
    "the certificate is in, the readings are still to come: not known": lambda h: "readings" in _needs(h),
    "a socket without the EV mark, used with limits for the electrician's reason": _is_limited,
    "a socket on a ring, used with limits for the electrician's reason": _is_limited,
    "the car stands outdoors on PME without an answer on a lost conductor: not known": lambda h: _needs(h)
    == ["answers"] and "combined earth and neutral" in h.clearances[0].missing[0],
    "the monthly check is overdue: not known": lambda h: _needs(h) == ["check"],
    "nobody has looked at the lead: not known": lambda h: _states(h) == ["fit_to_use"]
    and h.standing.clearance == "not_known" and not _blocks(h),
    "a lead set higher than its outlet may carry: no charging until it is set lower": lambda h: not _blocks(h)
    and _states(h) == ["fit_to_use"] and h.lead_of(h.cars[0]).set_a > h.clearances[0].limit_a,
    "a new home: no contract, no routine, supply not known": lambda h: not h.contracts
    and not h.routine and h.supply.fuse_a is None and h.supply.earthing == "not_known",
}


def _has_bands_by_day_and_month(tariff: TariffTerms) -> bool:
    windows = [window for band in tariff.versions[-1].sheets[0].bands for window in band.windows]
    return any(len(w.months) < 12 for w in windows) and any("weekday" not in w.day_kinds for w in windows)


def _crosses_midnight(tariff: TariffTerms) -> bool:
    return any(w.ends_at_min < w.starts_at_min for b in tariff.versions[-1].sheets[0].bands for w in b.windows)


@pytest.mark.parametrize(
    ("reference", "branch"), [(home["reference"], branch) for home in HOMES for branch in home["shows"]]
)
def test_a_stored_home_has_the_branch_its_file_is_there_for(
    homes: dict[str, StoredHome], reference: str, branch: str
) -> None:
    assert BRANCHES[branch](homes[reference])


def test_every_branch_has_a_home() -> None:
    assert {branch for home in HOMES for branch in home["shows"]} == set(BRANCHES)


def test_most_homes_are_on_the_tariff_whose_draft_waits(homes: dict[str, StoredHome]) -> None:
    on_it = [home for home in homes.values() if home.tariff and home.tariff.name == "Night saver (invented)"]
    assert len(on_it) > len(homes) / 2


def test_postcodes_and_addresses_are_obviously_invented(homes: dict[str, StoredHome]) -> None:
    assert all(home.home.postcode.startswith("ZZ") for home in homes.values())
    assert len({home.home.postcode for home in homes.values()}) == 40


def test_the_dates_of_seeded_homes_are_those_that_their_evidence_sets(
    database: Database, homes: dict[str, StoredHome]
) -> None:
    with database.scheme(load(database), write=False) as session:
        assert homes_with_stale_dates(session, list_home_ids(session), at=WEDNESDAY) == []
    renewed = [row for row in homes["H-08"].rechecks if row.done_on is not None]
    assert [row.done_on for row in renewed] == [homes["H-08"].inspections[-1].inspected_on]


def test_every_result_by_link_has_its_document_and_a_claim_has_none(homes: dict[str, StoredHome]) -> None:
    sources = {inspection.source for home in homes.values() for inspection in home.inspections}
    assert sources == {"link", "typed"}
    for home in homes.values():
        for inspection in home.inspections:
            assert (inspection.file_id is not None) is (inspection.source == "link")
