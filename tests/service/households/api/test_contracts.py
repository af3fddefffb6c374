"""Contracts over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.tariffs import night_draft, tariff_with


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


@pytest.fixture
def tariff_id(database: Any, scheme: str) -> str:
    """A tariff with a night band."""
    with database.scheme(scheme, write=True) as session:
        return tariff_with(session, night_draft())[0]


def test_a_contract_is_entered_and_ended(people: HomeClients, tariff_id: str) -> None:
    windows = [{"band": "night", "starts_at": "23:00", "ends_at": "00:00"}]
    body = {"tariff_id": tariff_id, "starts_on": "2026-01-01", "clock": "gmt", "windows": windows}
    added = send(people.administrator, "POST", f"{people.path}/contracts", body)
    assert added.status_code == 201
    unsaid = {"ends_on": None, "exit_fee_pence": None, "fixed_until_on": None}
    assert added.json == {**body, **unsaid, "id": added.json["id"], "tariff_name": "Alder Fixed"}
    path = f"{people.path}/contracts/{added.json['id']}"
    assert people.member.get(path).json == added.json
    ended = send(people.administrator, "PATCH", path, {"ends_on": "2026-07-01"}, etag=added.headers["ETag"])
    assert ended.json == {**added.json, "ends_on": "2026-07-01"}
    assert send(people.administrator, "PATCH", path, {}, etag=added.headers["ETag"]).status_code == 412
    assert people.administrator.get(people.path).json["contracts"] == [ended.json]


BAD_CONTRACTS: list[tuple[Any, str]] = [
    ({"tariff_id": UNKNOWN}, "#/tariff_id"),
    ({"starts_on": "01/01/2026"}, "#/starts_on"),
    ({"ends_on": "2026-01-01"}, "#/ends_on"),
    ({"clock": "bst"}, "#/clock"),
    ({"windows": [{"band": "night", "starts_at": "00:15", "ends_at": "05:00"}]}, "#/windows/0/starts_at"),
    ({"windows": [{"band": "night", "starts_at": "00:30"}]}, "#/windows/0/ends_at"),
    ({"windows": [{"band": "", "starts_at": "00:30", "ends_at": "05:00"}]}, "#/windows/0/band"),
    ({"windows": [{"band": "dawn", "starts_at": "00:30", "ends_at": "05:00"}]}, "#/windows"),
]


def test_a_bad_contract_is_pointed_at(people: HomeClients, tariff_id: str) -> None:
    for changes, pointer in BAD_CONTRACTS:
        body = {"tariff_id": tariff_id, "starts_on": "2026-01-01", **changes}
        reply = send(people.administrator, "POST", f"{people.path}/contracts", body)
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes


def test_a_window_in_a_change_is_sent_whole(people: HomeClients, tariff_id: str) -> None:
    body = {"tariff_id": tariff_id, "starts_on": "2026-01-01"}
    path = f"{people.path}/contracts/{send(people.administrator, 'POST', f'{people.path}/contracts', body).json['id']}"
    reply = send(people.administrator, "PATCH", path, {"windows": [{"band": "night"}]}, etag="*")
    assert (reply.status_code, sorted(pointers(reply))) == (422, ["#/windows/0/ends_at", "#/windows/0/starts_at"])


def test_an_overlap_is_named_with_its_dates(people: HomeClients, tariff_id: str) -> None:
    for starts_on, status in (("2026-01-01", 201), ("2026-06-01", 422)):
        reply = send(
            people.administrator, "POST", f"{people.path}/contracts", {"tariff_id": tariff_id, "starts_on": starts_on}
        )
        assert reply.status_code == status
    assert "Alder Fixed from 2026-01-01" in reply.json["errors"][0]["detail"]


def test_only_an_administrator_enters_contracts(people: HomeClients, tariff_id: str) -> None:
    body = {"tariff_id": tariff_id, "starts_on": "2026-01-01"}
    assert send(people.member, "POST", f"{people.path}/contracts", body).status_code == 403
    added = send(people.administrator, "POST", f"{people.path}/contracts", body)
    path = f"{people.path}/contracts/{added.json['id']}"
    assert send(people.member, "PATCH", path, {}, etag="*").status_code == 403
    assert people.stranger.get(path).status_code == 404
    elsewhere = f"/api/v1/households/{people.neighbour.id}/contracts/{added.json['id']}"
    assert send(people.administrator, "PATCH", elsewhere, {}, etag="*").status_code == 404
