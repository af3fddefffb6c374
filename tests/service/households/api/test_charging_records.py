"""A home's charging records over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import HomeClients, home_clients, pointers, send


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def body(people: HomeClients, **changes: Any) -> dict[str, Any]:
    """Return a charge of four hours at home."""
    return {
        "vehicle_id": people.home.car_id,
        "place": "home",
        "starts_at": "2026-11-24T00:30:00Z",
        "ends_at": "2026-11-24T04:30:00Z",
        "energy_kwh": 9.2,
        **changes,
    }


def test_a_record_is_added_changed_with_its_etag_and_taken_out(people: HomeClients) -> None:
    path = f"{people.path}/charging_records"
    added = send(people.member, "POST", path, body(people))
    assert added.status_code == 201, added.json
    one = f"{path}/{added.json['id']}"
    changed = send(people.member, "PATCH", one, {"energy_kwh": 8.75}, etag=added.headers["ETag"])
    assert (changed.status_code, changed.json["energy_kwh"], changed.json["source"]) == (200, 8.75, "typed")
    assert send(people.member, "DELETE", one, etag=added.headers["ETag"]).status_code == 412
    assert send(people.member, "DELETE", one).status_code == 428
    assert send(people.member, "DELETE", one, etag=changed.headers["ETag"]).status_code == 204
    assert people.member.get(one).status_code == 404


def test_half_hours_go_in_and_come_back(people: HomeClients) -> None:
    told = [
        {"starts_at": "2026-11-24T00:30:00+00:00", "energy_kwh": 1.15},
        {"starts_at": "2026-11-24T01:00:00+00:00", "energy_kwh": 0.85},
    ]
    path = f"{people.path}/charging_records"
    added = send(people.member, "POST", path, body(people, energy_kwh=2, half_hours=told, is_metered=True))
    assert (added.status_code, added.json["half_hours"]) == (201, told)
    odd = [{"starts_at": "2026-11-24T00:45:00Z", "energy_kwh": 2}]
    refused = send(people.member, "POST", path, body(people, energy_kwh=2, half_hours=odd))
    assert (refused.status_code, pointers(refused)) == (422, ["#/half_hours/0/starts_at"])


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"ends_at": "2026-11-24T00:30:00Z"}, "#/ends_at"),
        ({"energy_kwh": 15}, "#/energy_kwh"),
        ({"ends_at": "2026-11-26T00:30:00Z"}, "#/ends_at"),
        ({"place": "public", "paid_pence": 100_001}, "#/paid_pence"),
        ({"paid_pence": 200}, "#/paid_pence"),
    ],
)
def test_what_cannot_have_been_is_refused_by_name(people: HomeClients, changes: Any, pointer: str) -> None:
    reply = send(people.member, "POST", f"{people.path}/charging_records", body(people, **changes))
    assert (reply.status_code, pointers(reply)) == (422, [pointer])


def test_another_homes_outlet_is_refused(people: HomeClients) -> None:
    reply = send(
        people.member, "POST", f"{people.path}/charging_records", body(people, outlet_id=people.neighbour.outlet_id)
    )
    assert (reply.status_code, pointers(reply)) == (422, ["#/outlet_id"])


def test_a_period_is_of_local_days_and_comes_in_pages(people: HomeClients) -> None:
    path = f"{people.path}/charging_records"
    send(people.member, "POST", path, body(people))
    page = people.member.get(f"{path}?from_on=2026-11-24&to_on=2026-11-24&page_size=1").json
    assert (page["total"], len(page["items"]), page["page"]) == (1, 1, 1)
    assert people.member.get(f"{path}?from_on=2026-11-25").json["total"] == 0
    backwards = people.member.get(f"{path}?from_on=2026-11-25&to_on=2026-11-24")
    assert (backwards.status_code, pointers(backwards)) == (422, ["#/to_on"])


def test_a_table_is_checked_then_kept_and_a_bad_row_is_pointed_at(people: HomeClients) -> None:
    path = f"{people.path}/charging_records/csv"
    text = "starts_at,ends_at,energy_kwh,place\n2026-11-20 00:30,2026-11-20 04:30,9.2,home\n"
    tried = send(people.member, "POST", path, {"csv": text})
    assert (tried.json["is_dry_run"], tried.json["added_count"], tried.json["added_kwh"]) == (True, 1, 9.2)
    kept = send(people.member, "POST", path, {"csv": text, "is_dry_run": False}, key="once")
    assert (kept.status_code, kept.json["added_count"]) == (200, 1)
    bad = send(people.member, "POST", path, {"csv": text.replace("9.2", "nine")})
    assert (bad.status_code, pointers(bad)) == (422, ["#/rows/0/energy_kwh"])
    assert "line 2, energy_kwh" in bad.json["errors"][0]["detail"]


def test_a_charge_detail_record_that_lacks_a_field_is_pointed_at(people: HomeClients) -> None:
    reply = send(
        people.member,
        "POST",
        f"{people.path}/charging_records/ocpi_cdrs",
        {"vehicle_id": people.home.car_id, "cdrs": [{"id": "1"}]},
    )
    assert reply.status_code == 422
    assert "#/rows/0/total_energy" in pointers(reply)


def test_nobody_but_the_homes_members_reads_when_a_car_was_charged(people: HomeClients) -> None:
    path = f"{people.path}/charging_records"
    assert people.administrator.get(path).status_code == 403
    assert people.stranger.get(path).status_code == 404
