"""A member sees the scheme's tariffs ranked for the home's whole year, and says what is not known yet."""

from __future__ import annotations

import time
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.common.slots import slot_index, slot_start
from service.households.models import ChargingRecord, HouseReading, Vehicle
from service.infrastructure.db.sessions import Database
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet
from tests.factories.home_clients import UNKNOWN, pointers, send

pytestmark = pytest.mark.both_databases


def _version(*bands: dict[str, Any], standing: str = "40") -> dict[str, Any]:
    sheet = {"region": None, "payment": None, "standing_pence_per_day": standing, "bands": list(bands)}
    return {
        "valid_from_on": "2026-01-01", "label": "From January", "vat_percent": "5", "vat_included": True,
        "sheets": [sheet],
    }  # fmt: skip


FLAT = _version({"name": "all day", "price_pence_per_kwh": "26.25", "is_otherwise": True, "windows": []})
NIGHT = _version(
    {"name": "night", "price_pence_per_kwh": "7.9", "windows": [{"starts_at": "00:30", "ends_at": "05:30"}]},
    {"name": "day", "price_pence_per_kwh": "30.7", "is_otherwise": True, "windows": []},
)


class Story:
    """A home of a scheme with three tariffs, and who asks."""

    def __init__(self, fleet: Fleet, client: Any, scheme: str) -> None:
        self.home, self.neighbours = fleet.household_ids
        self.member = client("member", scheme, self.home)
        self.neighbour = client("member", scheme, self.neighbours)
        self.administrator = client("administrator", scheme)
        self.finance = client("finance", scheme)
        self.path = f"/api/v1/households/{self.home}"
        self.present = fleet.tariff_id
        self.flat = self._tariff("Even all day", FLAT)
        self.night = self._tariff("Cheap at night", NIGHT)

    def _tariff(self, name: str, version: dict[str, Any]) -> str:
        body = {"name": name, "kind": "banded", "clock": "local"}
        tariff_id = send(self.administrator, "POST", "/api/v1/tariffs", body, key=name).json["id"]
        path = f"/api/v1/tariffs/{tariff_id}/versions"
        drafted = send(self.administrator, "POST", path, version, key=f"v {name}").json
        send(self.administrator, "POST", f"{path}/{drafted['id']}/publication")
        return str(tariff_id)

    def compare(self, who: Any = None, query: str = "") -> Any:
        return (who or self.member).get(f"{self.path}/tariff_comparison{query}")

    def taking(self, tariff_id: str, **terms: Any) -> Any:
        path = f"/api/v1/tariffs/{tariff_id}/taking"
        etag = self.administrator.get(path).headers["ETag"]
        usual = {
            "meter_needed": "any", "needs_charging_point": False, "other_terms": "", "is_open": True,
            "exit_fee_pence": None, "fixed_months": None,
        }  # fmt: skip
        return send(self.administrator, "PUT", path, {**usual, **terms}, etag=etag)

    def meter(self, kind: str, yearly_kwh: int | None = None) -> Any:
        path = f"{self.path}/meter"
        etag = self.member.get(path).headers["ETag"]
        return send(self.member, "PUT", path, {"meter_kind": kind, "yearly_kwh": yearly_kwh}, etag=etag)


@pytest.fixture
def story(database: Database, client: Any, scheme: str) -> Story:
    return Story(make_fleet(database, scheme, 2, seed=3, now=NOON), client, scheme)


def test_every_tariff_is_ranked_by_the_whole_year_with_its_parts(story: Story) -> None:
    reply = story.compare()
    assert reply.status_code == 200, reply.json
    found = reply.json
    assert [item["rank"] for item in found["items"]] == [1, 2, 3]
    totals = [item["yearly_pence"] for item in found["items"]]
    assert totals == sorted(totals)
    for item in found["items"]:
        parts = item["house_pence"] + item["car_pence"] + item["standing_pence"]
        assert abs(parts - item["yearly_pence"]) <= 1
        assert item["working"][-1]["what"] == "The whole year"
    flat = next(item for item in found["items"] if item["name"] == "Even all day")
    used_wh = round(1000 * sum(band["energy_kwh"] for band in flat["bands"]))
    exact_np = used_wh * 26_250_000 + 365 * 40_000_000 * 1000
    assert flat["yearly_pence"] == (exact_np + 500_000_000) // 1_000_000_000
    assert flat["vat_pence"] == round(flat["yearly_pence"] * 5 / 105)
    assert found["house_use"]["source"] == "typical"
    assert found["house_use"]["yearly_kwh"] == 2500
    assert sum(band["energy_kwh"] for band in flat["bands"]) == pytest.approx(2500 + flat["car_kwh"])


def test_the_present_tariff_is_marked_and_others_differ_from_it(story: Story) -> None:
    items = story.compare().json["items"]
    present = next(item for item in items if item["is_present"])
    assert present["tariff_id"] == story.present
    assert present["difference_pence"] == 0
    for item in items:
        assert item["difference_pence"] == item["yearly_pence"] - present["yearly_pence"]


def test_a_tariff_the_home_cannot_take_is_left_out_with_every_reason(story: Story) -> None:
    story.taking(story.night, meter_needed="two_rate", needs_charging_point=True, is_open=False)
    left_out = story.compare().json["left_out"]
    assert [each["name"] for each in left_out] == ["Cheap at night"]
    words = " ".join(left_out[0]["reasons"])
    assert "closed to new contracts" in words
    assert "is not known: record it first" in words
    assert "charging point" in words
    story.meter("half_hourly")
    story.taking(story.night, meter_needed="two_rate", other_terms="A direct debit", fixed_months=12)
    night = next(each for each in story.compare().json["items"] if each["tariff_id"] == story.night)
    assert night["questions"] == [
        "Do you meet its other terms: A direct debit?",
        "It binds you for 12 months: leaving earlier costs an amount that is not known.",
    ]


def test_leaving_the_present_contract_counts_in_the_first_year_alone(story: Story) -> None:
    home = story.administrator.get(story.path).json
    contract = home["contracts"][0]
    path = f"{story.path}/contracts/{contract['id']}"
    etag = story.administrator.get(path).headers["ETag"]
    change = {"exit_fee_pence": 7500, "fixed_until_on": "2027-06-01"}
    assert send(story.administrator, "PATCH", path, change, etag=etag).status_code == 200
    found = story.compare().json
    assert found["leaving"] == "Leaving before 2027-06-01 costs £75.00, once."
    for item in found["items"]:
        once = 0 if item["is_present"] else 7500
        assert (item["leaving_pence"], item["year_one_pence"]) == (once, item["yearly_pence"] + once)


def test_a_fee_nobody_knows_is_not_known_and_never_nothing(story: Story) -> None:
    contract = story.administrator.get(story.path).json["contracts"][0]
    path = f"{story.path}/contracts/{contract['id']}"
    etag = story.administrator.get(path).headers["ETag"]
    send(story.administrator, "PATCH", path, {"fixed_until_on": "2027-06-01"}, etag=etag)
    other = next(item for item in story.compare().json["items"] if not item["is_present"])
    assert other["leaving_pence"] is None
    assert other["year_one_pence"] is None


def test_what_was_told_of_the_house_counts_and_readings_of_its_meter_count_before_it(story: Story) -> None:
    assert story.meter("single_rate", 3100).status_code == 200
    assert story.compare().json["house_use"]["yearly_kwh"] == 3100
    for day, kwh in (("2026-08-27", "10000"), ("2026-11-25", "10900.5")):
        entry = {"read_on": day, "kwh": kwh, "register": ""}
        reply = send(story.member, "POST", f"{story.path}/meter_readings", entry, key=day)
        assert reply.status_code == 201, reply.json
    found = story.member.get(f"{story.path}/house_use").json
    assert found["source"] == "meter"
    assert found["working"][0]["inputs"]["meter"] == "900.5 kWh from 2026-08-27 to 2026-11-25, 90 days"
    compared = story.compare().json["house_use"]
    assert compared["source"] == "meter"
    # The comparison takes out what the cars are planned to take: nobody recorded a charge.
    assert compared["yearly_kwh"] < found["yearly_kwh"]
    readings = story.member.get(f"{story.path}/meter_readings").json["items"]
    assert [each["read_on"] for each in readings] == ["2026-11-25", "2026-08-27"]
    for each in readings:
        assert send(story.member, "DELETE", f"{story.path}/meter_readings/{each['id']}").status_code == 204
    assert story.compare().json["house_use"]["source"] == "told"


def test_a_register_never_runs_back_and_no_reading_is_of_tomorrow(story: Story) -> None:
    path = f"{story.path}/meter_readings"
    send(story.member, "POST", path, {"read_on": "2026-10-01", "kwh": "500", "register": "day"}, key="1")
    back = send(story.member, "POST", path, {"read_on": "2026-11-01", "kwh": "499.9", "register": "day"}, key="2")
    assert back.status_code == 422
    assert pointers(back) == ["#/kwh"]
    ahead = send(story.member, "POST", path, {"read_on": "2026-12-24", "kwh": "600", "register": "day"}, key="3")
    assert pointers(ahead) == ["#/read_on"]
    other = send(story.member, "POST", path, {"read_on": "2026-11-01", "kwh": "3", "register": "night"}, key="4")
    assert other.status_code == 201


def test_petrol_is_a_dated_rate_or_ones_own_car(story: Story) -> None:
    dated = story.compare().json["petrol"]
    assert (dated["pence_per_mile"], dated["is_current"]) == ("17", False)
    assert "none for today is known" in dated["working"][0]["rule"]
    own = story.compare(query="?petrol_pence_per_litre=129.2&petrol_miles_per_gallon=43.4").json["petrol"]
    assert own["is_current"]
    assert float(own["pence_per_mile"]) == pytest.approx(13.53, abs=0.005)
    half = story.compare(query="?petrol_pence_per_litre=129.2")
    assert half.status_code == 422


def test_an_administrator_sees_the_ranking_as_totals_and_nobody_else_does(story: Story) -> None:
    """A tariff with windows of their own making would tell an administrator when the home charges."""
    own, seen = story.compare().json, story.compare(story.administrator).json
    assert any(item["bands"] and item["working"] and item["break_even"] for item in own["items"])
    hidden = {"bands": [], "break_even": None, "working": []}
    assert seen["items"] == [{**item, **hidden} for item in own["items"]]
    assert (seen["firmness"], own["firmness"]["flips"] != []) == ({**own["firmness"], "flips": []}, True)
    assert story.compare(story.neighbour).status_code == 404
    assert story.compare(story.finance).status_code == 403
    assert story.administrator.get(f"/api/v1/households/{UNKNOWN}/tariff_comparison").status_code == 404


def test_the_firmness_says_where_the_first_two_would_swap(story: Story) -> None:
    story.meter("half_hourly", 3000)
    found = story.compare().json["firmness"]
    assert found["verdict"] in ("firm", "close")
    assert len(found["between"]) == 2
    assert {flip["what"] for flip in found["flips"]} == {"house_kwh", "car_miles", "cheap_share"}
    house = next(flip for flip in found["flips"] if flip["what"] == "house_kwh")
    if house["flips_at"] is not None and float(house["flips_at"]) < 100_000:
        # At the value it names the two cost the same, to what rounding to whole kWh leaves.
        story.meter("half_hourly", round(float(house["flips_at"])))
        there = {item["name"]: item["yearly_pence"] for item in story.compare().json["items"]}
        assert abs(there[found["between"][0]] - there[found["between"][1]]) <= 30


def _half_hourly(story: Story, days: int) -> str:
    """Add a half-hourly tariff with the prices of the last days: 10 p, and 20 p from 16:00 to 19:00."""
    body = {"name": "By the half-hour", "kind": "half_hourly", "clock": "local"}
    tariff_id = send(story.administrator, "POST", "/api/v1/tariffs", body, key="hh").json["id"]
    path = f"/api/v1/tariffs/{tariff_id}"
    drafted = send(story.administrator, "POST", f"{path}/versions", _version(standing="50"), key="hh v").json
    send(story.administrator, "POST", f"{path}/versions/{drafted['id']}/publication")
    first = NOON.replace(hour=0) - timedelta(days=days - 1)
    lines = ["starts_at,price_pence_per_kwh"]
    for step in range(days * 48):
        at = first + timedelta(minutes=30 * step)
        lines.append(f"{at:%Y-%m-%dT%H:%M:%SZ},{20 if 16 <= at.hour < 19 else 10}")
    stored = story.administrator.put(f"{path}/prices", data="\n".join(lines), content_type="text/csv")
    assert stored.status_code == 200, stored.json
    return str(tariff_id)


def test_half_hourly_prices_known_for_a_month_make_an_estimate_that_is_never_firm(story: Story) -> None:
    tariff_id = _half_hourly(story, 29)
    found = story.compare().json
    item = next(each for each in found["items"] if each["tariff_id"] == tariff_id)
    assert item["is_estimate"]
    used_kwh = item["bands"][0]["energy_kwh"]
    assert 10 * used_kwh < item["house_pence"] + item["car_pence"] < 20 * used_kwh
    assert item["standing_pence"] == 365 * 50
    assert item["rank"] == 1  # far cheaper than any other here
    assert found["firmness"]["verdict"] == "close"
    assert "The prices of By the half-hour in a year to come are not known" in found["firmness"]["reasons"][0]


def test_one_odd_day_ahead_is_not_fifty_two_of_them(story: Story) -> None:
    tariff_id = _half_hourly(story, 29)

    def year() -> dict[str, Any]:
        return next(each for each in story.compare().json["items"] if each["tariff_id"] == tariff_id)

    before = year()
    lines = ["starts_at,price_pence_per_kwh"]
    tomorrow = NOON.replace(hour=0) + timedelta(days=1)
    lines += [f"{tomorrow + timedelta(minutes=30 * step):%Y-%m-%dT%H:%M:%SZ},-50" for step in range(48)]
    path = f"/api/v1/tariffs/{tariff_id}/prices"
    stored = story.administrator.put(path, data="\n".join(lines), content_type="text/csv")
    assert stored.status_code == 200, stored.json
    assert year()["yearly_pence"] == before["yearly_pence"]


def test_half_hourly_prices_of_a_few_days_make_no_year(story: Story) -> None:
    _half_hourly(story, 20)
    (left_out,) = story.compare().json["left_out"]
    assert left_out["name"] == "By the half-hour"
    (reason,) = left_out["reasons"]
    assert reason.startswith("Its half-hourly prices are known for 20 of the last 91 days: at least 28 are needed")


def test_the_homes_own_half_hours_count_before_all_else(story: Story, database: Database, scheme: str) -> None:
    first = slot_index(NOON) - 60 * 48
    with database.scheme(scheme, write=True) as session:
        session.add_all(
            HouseReading(household_id=story.home, slot=first + step, energy_wh=250) for step in range(60 * 48)
        )
        vehicle_id = session.scalars(select(Vehicle.id).where(Vehicle.household_id == story.home)).first()
        session.add(
            ChargingRecord(
                household_id=story.home, vehicle_id=vehicle_id, place="home", starts_at=slot_start(first),
                ends_at=slot_start(first + 10), energy_wh=1000, is_metered=False, half_hours=[], source="typed",
                note="", created_at=NOON,
            )
        )  # fmt: skip
    use = story.compare().json["house_use"]
    assert use["source"] == "half_hours"
    replayed = story.member.get(f"{story.path}/house_use").json
    assert replayed == use
    assert use["working"][0]["inputs"]["half-hours read"] == "2880, without what cars took"


def test_what_was_charged_is_taken_out_of_the_meters_readings(story: Story, database: Database, scheme: str) -> None:
    for day, kwh in (("2026-08-27", "10000"), ("2026-11-25", "10900")):
        entry = {"read_on": day, "kwh": kwh, "register": ""}
        send(story.administrator, "POST", f"{story.path}/meter_readings", entry, key=day)
    with database.scheme(scheme, write=True) as session:
        vehicle_id = session.scalars(select(Vehicle.id).where(Vehicle.household_id == story.home)).first()
        for day in (1, 2):
            session.add(
                ChargingRecord(
                    household_id=story.home, vehicle_id=vehicle_id, place=("home", "public")[day - 1],
                    starts_at=NOON - timedelta(days=day), ends_at=NOON - timedelta(days=day, hours=-4),
                    energy_wh=100_000, is_metered=False, half_hours=[], source="typed", note="", created_at=NOON,
                )
            )  # fmt: skip
    step = story.compare().json["house_use"]["working"][0]
    assert step["inputs"]["cars at home"] == "100 kWh, as recorded"
    assert step["result"].startswith("800 kWh")


def test_a_comparison_takes_less_than_a_second(story: Story) -> None:
    story.compare()
    begun = time.perf_counter()
    story.compare()
    assert time.perf_counter() - begun < 1


def test_a_tariff_object_of_the_open_standard_becomes_a_draft(story: Story) -> None:
    element = {"price_components": [{"type": "ENERGY", "price": 0.25, "vat": 5, "step_size": 1}]}
    night = {
        "price_components": [{"type": "ENERGY", "price": 0.07, "vat": 5, "step_size": 1}],
        "restrictions": {"start_time": "23:30", "end_time": "05:30"},
    }
    tariff = {
        "country_code": "GB", "party_id": "EXA", "id": "1", "currency": "GBP", "elements": [night, element],
        "last_updated": "2026-11-01T00:00:00Z",
    }  # fmt: skip
    body = {"name": "Taken in", "valid_from_on": "2026-11-01", "standing_pence_per_day": "41.5", "tariff": tariff}
    reply = send(story.administrator, "POST", "/api/v1/tariffs/import_ocpi", body, key="in")
    assert reply.status_code == 201, reply.json
    made = reply.json
    assert [version["published_at"] for version in made["versions"]] == [None]
    path = f"/api/v1/tariffs/{made['id']}/versions/{made['versions'][0]['id']}"
    draft = story.administrator.get(path).json
    assert (draft["vat_percent"], draft["vat_included"]) == ("5", False)
    assert [band["price_pence_per_kwh"] for band in draft["sheets"][0]["bands"]] == ["7", "25"]
    assert story.compare().json["left_out"][0]["name"] == "Taken in"  # nothing of it is published
    element["price_components"].append({"type": "FLAT", "price": 0.5, "vat": 5, "step_size": 1})
    refused = send(
        story.administrator, "POST", "/api/v1/tariffs/import_ocpi", {**body, "name": "Other"}, key="no"
    )
    assert refused.status_code == 422
    assert pointers(refused) == ["#/tariff/elements/1/price_components/1/type"]
