"""A home's habits and a car's diary over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import HomeClients, home_clients, pointers, send

HABITS = {
    "swap_times": ["18:30", "22:00"], "need_quantile_permille": 950, "yearly_kwh": 2700, "quiet_from": "23:00",
    "quiet_until": "06:00",
}  # fmt: skip


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_habits_start_with_a_swap_in_the_evening_and_are_replaced_whole(people: HomeClients) -> None:
    path = f"{people.path}/habits"
    before = people.member.get(path)
    assert before.json == {
        "swap_times": ["19:00"], "need_quantile_permille": 900, "yearly_kwh": None, "quiet_from": None,
        "quiet_until": None,
    }  # fmt: skip
    kept = send(people.member, "PUT", path, HABITS, etag=before.headers["ETag"])
    assert (kept.status_code, kept.json) == (200, HABITS)
    assert send(people.administrator, "PUT", path, HABITS, etag=before.headers["ETag"]).status_code == 412


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"swap_times": []}, "#/swap_times"),
        ({"swap_times": ["22:00", "18:30"]}, "#/swap_times"),
        ({"swap_times": ["01:00", "02:00", "03:00", "04:00"]}, "#/swap_times"),
        ({"need_quantile_permille": 499}, "#/need_quantile_permille"),
        ({"yearly_kwh": -1}, "#/yearly_kwh"),
        ({"quiet_until": None}, "#/quiet_until"),
        ({"quiet_until": "23:00"}, "#/quiet_until"),
    ],
)
def test_habits_that_cannot_be_are_refused_by_name(people: HomeClients, changes: Any, pointer: str) -> None:
    reply = send(people.member, "PUT", f"{people.path}/habits", {**HABITS, **changes}, etag="*")
    assert (reply.status_code, pointers(reply)) == (422, [pointer])


def test_a_diary_is_kept_day_by_day_and_a_day_entered_again_takes_the_new_miles(people: HomeClients) -> None:
    path = f"{people.car}/diary"
    days = {"days": [{"on": "2026-11-24", "miles": "31.5"}, {"on": "2026-11-23", "miles": "0"}]}
    assert send(people.member, "POST", path, days).status_code == 201
    again = send(people.member, "POST", path, {"days": [{"on": "2026-11-24", "miles": "12"}]}, key="again")
    assert again.status_code == 201
    items = people.member.get(path).json["items"]
    assert [(day["on"], float(day["miles"])) for day in items] == [("2026-11-23", 0.0), ("2026-11-24", 12.0)]
    assert people.member.delete(f"{path}/{items[0]['id']}", headers={"X-Requested-By": "plugward"}).status_code == 204
    assert len(people.member.get(path).json["items"]) == 1


@pytest.mark.parametrize(
    ("day", "pointer"),
    [
        ({"on": "2026-11-26", "miles": "3"}, "#/days/0/on"),
        ({"on": "2026-11-20", "miles": "1501"}, "#/days/0/miles"),
        ({"on": "2026-11-20", "miles": "-1"}, "#/days/0/miles"),
    ],
)
def test_a_day_that_lies_ahead_or_is_too_far_is_refused_and_nothing_is_kept(
    people: HomeClients, day: Any, pointer: str
) -> None:
    reply = send(people.member, "POST", f"{people.car}/diary", {"days": [day]})
    assert (reply.status_code, pointers(reply)) == (422, [pointer])
    assert people.member.get(f"{people.car}/diary").json["items"] == []


def test_a_diary_is_its_drivers_business(people: HomeClients) -> None:
    assert people.administrator.get(f"{people.car}/diary").status_code == 403
