"""A home's appliances and the advice on them over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import HomeClients, home_clients, pointers, send

BODY = {
    "appliances": [
        {"kind": "dishwasher", "runs_a_week": 5, "label": "", "run_kwh": None, "power_w": None, "run_minutes": None,
         "usual_start": "20:30"},
    ],
    "awake": [{"from": "07:00", "until": "22:30"}],
}  # fmt: skip


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_appliances_are_stated_whole_with_the_etag_of_what_was_seen(people: HomeClients) -> None:
    path = f"{people.path}/appliances"
    before = people.member.get(path)
    assert before.json == {"appliances": [], "awake": [{"from": "06:30", "until": "23:00"}]}
    kept = send(people.member, "PUT", path, BODY, etag=before.headers["ETag"])
    assert (kept.status_code, kept.json) == (200, BODY)
    assert send(people.member, "PUT", path, BODY, etag=before.headers["ETag"]).status_code == 412
    assert send(people.member, "PUT", path, BODY).status_code == 428
    assert people.member.get(path, headers={"If-None-Match": kept.headers["ETag"]}).status_code == 304


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"awake": []}, "#/awake"),
        ({"awake": [{"from": "08:00", "until": "07:00"}]}, "#/awake/0/until"),
        ({"appliances": [{"kind": "dishwasher", "runs_a_week": 51}]}, "#/appliances/0/runs_a_week"),
        ({"appliances": [{"kind": "own", "runs_a_week": 1, "label": "x", "power_w": 1, "run_minutes": 60}]},
         "#/appliances/0/power_w"),
        ({"appliances": [{"kind": "kettle", "runs_a_week": 1}]}, "#/appliances/0/kind"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_pointed_at(people: HomeClients, changes: Any, pointer: str) -> None:
    reply = send(people.member, "PUT", f"{people.path}/appliances", {**BODY, **changes}, etag="*")
    assert reply.status_code == 422
    assert pointer in pointers(reply)


def test_a_day_until_midnight_can_be_stated(people: HomeClients) -> None:
    body = {**BODY, "awake": [{"from": "07:00", "until": "00:00"}]}
    kept = send(people.member, "PUT", f"{people.path}/appliances", body, etag="*")
    assert (kept.status_code, kept.json["awake"]) == (200, body["awake"])


def test_advice_comes_with_its_cautions_its_figures_and_its_working(people: HomeClients) -> None:
    assert send(people.member, "PUT", f"{people.path}/appliances", BODY, etag="*").status_code == 200
    found = people.member.get(f"{people.path}/appliance_advice")
    assert found.status_code == 200
    # The home has no tariff: nothing is known, and nothing is suggested.
    (item,) = found.json["items"]
    assert (item["move"], item["start"], item["yearly_saving_pence"]) == ("not_known", None, None)
    assert [figure["value"] for figure in item["figures"]] == ["1 kWh", "2000 W", "150 minutes", "20:30"]
    assert len(item["working"]) == 4
    assert any("sleep or are out" in caution for caution in found.json["cautions"])


def test_nobody_else_reads_when_a_home_is_awake(people: HomeClients) -> None:
    for path in ("appliances", "appliance_advice"):
        assert people.administrator.get(f"{people.path}/{path}").status_code == 403
        assert people.stranger.get(f"{people.path}/{path}").status_code == 404
