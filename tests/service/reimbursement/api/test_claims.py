"""Trips and claims over HTTP: versions, states, and what is told where something cannot be."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import update

from service.infrastructure.db.sessions import Database, SchemeSession
from service.reimbursement.models import BusinessTrip, Claim, MilesElsewhere
from service.reimbursement.operations import claims, decisions, elsewhere, trips
from tests.conftest import NOON
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send

API = "/api/v1"


@pytest.fixture
def clients(database: Database, client: Any, scheme: str) -> HomeClients:
    found = home_clients(database, client, scheme)
    rule = {"from_on": "2020-01-01", "company_method": "advisory_rate"}
    assert send(found.administrator, "POST", f"{API}/reimbursement_rules", rule).status_code == 201
    held = {"vehicle_id": found.home.car_id, "from_on": "2020-01-01", "held_as": "own_car"}
    assert send(found.member, "POST", f"{found.path}/car_holdings", held).status_code == 201
    return found


def trip(clients: HomeClients, **changes: Any) -> dict[str, Any]:
    return {
        "vehicle_id": clients.home.car_id, "on_date": "2026-10-05", "origin": "A", "destination": "B", "reason": "C",
        "miles": "10", **changes,
    }  # fmt: skip


def enter(clients: HomeClients, **changes: Any) -> Any:
    return send(clients.member, "POST", f"{clients.path}/business_trips", trip(clients, **changes))


def draft(clients: HomeClients, **more: Any) -> Any:
    return send(clients.member, "POST", f"{clients.path}/claims", {"month": "2026-10", **more})


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"on_date": "2026-11-26"}, "#/on_date"),
        ({"origin": " "}, "#/origin"),
        ({"destination": "x" * 121}, "#/destination"),
        ({"reason": ""}, "#/reason"),
        ({"miles": "0"}, "#/miles"),
        ({"miles": "1500.1"}, "#/miles"),
        ({"miles": "1.25"}, "#/miles"),
        ({"miles": 12}, "#/miles"),
    ],
)
def test_a_trip_that_breaks_a_rule_is_refused_at_its_field(
    clients: HomeClients, changes: dict[str, Any], pointer: str
) -> None:
    reply = enter(clients, **changes)
    assert (reply.status_code, pointers(reply)) == (422, [pointer])


def test_all_that_is_wrong_is_told_at_once(clients: HomeClients) -> None:
    assert pointers(enter(clients, origin="", reason="", miles="0")) == ["#/origin", "#/reason", "#/miles"]


def test_a_car_of_another_home_is_not_found(clients: HomeClients) -> None:
    assert enter(clients, vehicle_id=clients.neighbour.car_id).status_code == 404
    assert enter(clients, vehicle_id=UNKNOWN).status_code == 404


def test_a_trip_is_changed_as_it_was_read(clients: HomeClients) -> None:
    made = enter(clients)
    address, etag = f"{clients.path}/business_trips/{made.json['id']}", made.headers["ETag"]
    assert send(clients.member, "PATCH", address, {"miles": "11"}).status_code == 428
    changed = send(clients.member, "PATCH", address, {"miles": "11"}, etag=etag)
    assert (changed.status_code, changed.json["miles"]) == (200, "11")
    assert send(clients.member, "PATCH", address, {"miles": "12"}, etag=etag).status_code == 412
    assert send(clients.member, "DELETE", address, etag=changed.headers["ETag"]).status_code == 204


def test_a_trip_in_a_draft_changes_with_it_and_stays_in_its_month(clients: HomeClients) -> None:
    made = enter(clients).json
    claim = draft(clients)
    address = f"{clients.path}/business_trips/{made['id']}"
    moved = send(clients.member, "PATCH", address, {"on_date": "2026-09-30"}, etag="*")
    assert (moved.status_code, pointers(moved)) == (422, ["#/on_date"])
    assert send(clients.member, "PATCH", address, {"miles": "20"}, etag="*").status_code == 200
    own = f"{clients.path}/claims/{claim.json['id']}"
    now = clients.member.get(own)
    assert now.json["total_pence"] == 1100
    assert now.headers["ETag"] != claim.headers["ETag"]
    assert send(clients.member, "POST", f"{own}/sending", {}, etag=claim.headers["ETag"]).status_code == 412
    assert send(clients.member, "POST", f"{own}/sending", {}, etag=now.headers["ETag"]).status_code == 200
    locked = send(clients.member, "PATCH", address, {"miles": "30"}, etag="*")
    assert (locked.status_code, locked.json["title"]) == (409, "The trip is in a claim that was sent")
    assert send(clients.member, "DELETE", address, etag="*").status_code == 409


def test_an_approval_of_what_was_read_before_a_change_is_refused(clients: HomeClients) -> None:
    enter(clients)
    claim = draft(clients).json
    own = f"{clients.path}/claims/{claim['id']}"
    send(clients.member, "POST", f"{own}/sending", {})
    seen = clients.administrator.get(f"{API}/claims/{claim['id']}")
    send(clients.member, "POST", f"{own}/withdrawal", {})
    enter(clients, miles="500")
    send(clients.member, "DELETE", own, etag="*")
    again = draft(clients).json
    send(clients.member, "POST", f"{clients.path}/claims/{again['id']}/sending", {})
    assert send(
        clients.administrator, "POST", f"{API}/claims/{claim['id']}/approval", {}, etag=seen.headers["ETag"]
    ).status_code == 404  # fmt: skip
    seen = clients.administrator.get(f"{API}/claims/{again['id']}")
    send(clients.administrator, "POST", f"{API}/claims/{again['id']}/query", {"text": "so far?"})
    stale = send(
        clients.administrator, "POST", f"{API}/claims/{again['id']}/refusal", {"text": "no"}, etag=seen.headers["ETag"]
    )
    assert stale.status_code == 412


def test_a_month_has_one_draft_and_a_draft_has_trips(clients: HomeClients) -> None:
    assert draft(clients).json["title"] == "There is no open trip to claim"
    enter(clients)
    assert draft(clients).status_code == 201
    enter(clients)
    assert draft(clients).json["title"] == "There is a draft already"


def test_some_trips_can_be_claimed_and_the_others_stay_open(clients: HomeClients) -> None:
    first, second = enter(clients).json, enter(clients, miles="7").json
    assert pointers(draft(clients, trip_ids=[first["id"], UNKNOWN])) == ["#/trip_ids/1"]
    claim = draft(clients, trip_ids=[first["id"]]).json
    assert [line["trip_id"] for line in claim["reckoning"]["lines"]] == [first["id"]]
    (still_open,) = clients.member.get(f"{clients.path}/business_trips?state=open").json["items"]
    assert still_open["id"] == second["id"]


def test_a_stated_share_is_a_percentage_of_one_of_the_homes_cars(clients: HomeClients) -> None:
    enter(clients)
    shares = [
        {"vehicle_id": clients.home.car_id, "home_percent": "100.5"},
        {"vehicle_id": clients.neighbour.car_id, "home_percent": "50"},
    ]
    refused = draft(clients, home_shares=shares)
    assert pointers(refused) == ["#/home_shares/0/home_percent", "#/home_shares/1/vehicle_id"]
    preview = f"{clients.path}/claim_preview?month=2026-10&home_share="
    assert clients.member.get(f"{preview}{clients.home.car_id}:60").status_code == 200
    assert clients.member.get(f"{preview}{clients.home.car_id}:many").status_code == 422
    for percent in ("NaN", "sNaN", "1E+99", "Infinity", "-1", "1_0", "50.55"):
        assert pointers(clients.member.get(f"{preview}{clients.home.car_id}:{percent}".replace("+", "%2B")))


def test_a_draft_is_read_with_what_was_stated_and_restated(clients: HomeClients) -> None:
    held = {"vehicle_id": clients.home.car_id, "from_on": "2026-05-01", "held_as": "company_car"}
    send(clients.member, "POST", f"{clients.path}/car_holdings", held)
    enter(clients, on_date="2026-06-10", miles="100")
    made = send(clients.member, "POST", f"{clients.path}/claims", {"month": "2026-06"})
    assert not made.json["is_ready"]
    own = f"{clients.path}/claims/{made.json['id']}"
    shares = {"home_shares": [{"vehicle_id": clients.home.car_id, "home_percent": "60"}]}
    restated = send(clients.member, "PATCH", own, shares, etag=made.headers["ETag"])
    assert (restated.json["is_ready"], restated.json["total_pence"]) == (True, 1020)
    send(clients.member, "POST", f"{own}/sending", {})
    assert send(clients.member, "PATCH", own, shares, etag="*").status_code == 409
    back = send(clients.member, "POST", f"{own}/withdrawal", {}).json
    assert back["total_pence"] == 1020, "what was stated is kept"


def test_a_claim_sent_again_under_its_key_is_sent_once(clients: HomeClients) -> None:
    enter(clients)
    body = {"month": "2026-10"}
    first = send(clients.member, "POST", f"{clients.path}/claims", body, key="once")
    again = send(clients.member, "POST", f"{clients.path}/claims", body, key="once")
    assert (again.status_code, again.json) == (201, first.json)


@pytest.mark.parametrize("month", ["2026-13", "x", "2026-1"])
def test_what_is_no_month_is_refused(clients: HomeClients, month: str) -> None:
    assert pointers(clients.member.get(f"{clients.path}/claims?month={month}")) == ["#/month"]
    assert pointers(clients.administrator.get(f"{API}/claims?month={month}")) == ["#/month"]
    assert pointers(send(clients.administrator, "POST", f"{API}/statements", {"month": month})) == ["#/month"]


def test_a_holding_is_taken_out_by_its_id(clients: HomeClients) -> None:
    (held,) = clients.member.get(f"{clients.path}/car_holdings").json["items"]
    address = f"{clients.path}/car_holdings/{held['id']}"
    assert send(clients.member, "DELETE", address).status_code == 428
    assert send(clients.member, "DELETE", address, etag='"other"').status_code == 412
    assert send(clients.administrator, "DELETE", address, etag=f'"{held["id"]}"').status_code == 204


def test_rules_are_listed_the_newest_first_and_checked(clients: HomeClients) -> None:
    bad = {"from_on": "2026-01-01", "company_method": "advisory_rate", "monthly_cap_pence": 0}
    assert pointers(send(clients.administrator, "POST", f"{API}/reimbursement_rules", bad)) == ["#/monthly_cap_pence"]
    newer = {**bad, "monthly_cap_pence": 5000, "claim_within_days": 90}
    assert send(clients.administrator, "POST", f"{API}/reimbursement_rules", newer).status_code == 201
    items = clients.administrator.get(f"{API}/reimbursement_rules").json["items"]
    assert [(each["from_on"], each["monthly_cap_pence"]) for each in items] == [
        ("2026-01-01", 5000), ("2020-01-01", None)
    ]  # fmt: skip


def test_miles_elsewhere_are_checked(clients: HomeClients) -> None:
    address = f"{clients.path}/miles_elsewhere"
    year = {"tax_year_from_on": "2026-04-06", "miles": "10"}
    body = {"items": [year, year, {"tax_year_from_on": "2026-04-05", "miles": "200000.1"}]}
    assert pointers(send(clients.member, "PUT", address, body, etag="*")) == [
        "#/items/1/tax_year_from_on", "#/items/2/tax_year_from_on", "#/items/2/miles"
    ]  # fmt: skip


def meanwhile(monkeypatch: pytest.MonkeyPatch, module: Any, hold: str, change: Callable[[SchemeSession], Any]) -> None:
    """Let somebody else's change come in where the first hold of a row would have waited for it."""
    held, changes = getattr(module, hold), [change]

    def wait(session: SchemeSession, *args: Any) -> Any:
        if changes:
            changes.pop()(session)
        return held(session, *args)

    monkeypatch.setattr(module, hold, wait)


@pytest.mark.both_databases
@pytest.mark.parametrize("method", ["PATCH", "DELETE"])
def test_a_trip_that_changed_while_a_writer_waited_is_not_written_over(
    clients: HomeClients, monkeypatch: pytest.MonkeyPatch, method: str
) -> None:
    made = enter(clients)
    address, change = f"{clients.path}/business_trips/{made.json['id']}", update(BusinessTrip).values(version=2)
    meanwhile(monkeypatch, trips, "hold_household", lambda session: session.execute(change))
    body = {"reason": "late"} if method == "PATCH" else None
    assert send(clients.member, method, address, body, etag=made.headers["ETag"]).status_code == 412


@pytest.mark.both_databases
def test_a_draft_that_changed_while_a_writer_waited_is_not_written_over(
    clients: HomeClients, monkeypatch: pytest.MonkeyPatch
) -> None:
    enter(clients)
    made = draft(clients)
    own = f"{clients.path}/claims/{made.json['id']}"
    for method, path, body in (
        ("PATCH", own, {"home_shares": []}), ("DELETE", own, None), ("POST", f"{own}/sending", {}),
    ):  # fmt: skip
        etag = clients.member.get(own).headers["ETag"]
        change = update(Claim).values(version=Claim.version + 1)
        meanwhile(monkeypatch, claims, "hold_household", lambda session, change=change: session.execute(change))
        assert send(clients.member, method, path, body, etag=etag).status_code == 412, method


@pytest.mark.both_databases
@pytest.mark.parametrize("step", ["approval", "refusal", "query"])
def test_a_claim_that_changed_while_a_decider_waited_is_not_decided(
    clients: HomeClients, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    enter(clients)
    made = draft(clients).json
    send(clients.member, "POST", f"{clients.path}/claims/{made['id']}/sending", {})
    seen = clients.administrator.get(f"{API}/claims/{made['id']}")
    change = update(Claim).values(total_pence=900_000, version=Claim.version + 2)
    meanwhile(monkeypatch, decisions, "hold_claim", lambda session: session.execute(change))
    body = {} if step == "approval" else {"text": "why?"}
    decided = send(
        clients.administrator, "POST", f"{API}/claims/{made['id']}/{step}", body, etag=seen.headers["ETag"]
    )
    assert decided.status_code == 412
    assert clients.administrator.get(f"{API}/claims/{made['id']}").json["state"] == "sent"


@pytest.mark.both_databases
def test_miles_elsewhere_that_changed_while_a_writer_waited_are_not_written_over(
    clients: HomeClients, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = f"{clients.path}/miles_elsewhere"
    year = {"tax_year_from_on": "2026-04-06", "miles": "10"}
    made = send(clients.member, "PUT", address, {"items": [year]}, etag="*")
    change = update(MilesElsewhere).values(miles=Decimal(77), recorded_at=NOON)
    meanwhile(monkeypatch, elsewhere, "hold_household", lambda session: session.execute(change))
    assert send(clients.member, "PUT", address, {"items": []}, etag=made.headers["ETag"]).status_code == 412


def test_a_month_has_so_many_open_trips_and_no_more(clients: HomeClients, monkeypatch: pytest.MonkeyPatch) -> None:
    """A claim takes all open trips of its month: without an end, one claim would be more than anybody can look at."""
    monkeypatch.setattr(trips, "MOST_OPEN", 2)
    first = enter(clients)
    rows = "".join(f"2026-10-0{day},blue hatchback,A,B,C,1\n" for day in (1, 2))
    address = f"{clients.path}/business_trips/import?is_dry_run=false"
    full = clients.member.post(address, data=f"date,car,from,to,reason,miles\n{rows}", content_type="text/csv")
    assert (full.status_code, full.json["title"]) == (409, "Too many open trips")
    assert enter(clients).status_code == 201
    assert enter(clients).status_code == 409
    other = enter(clients, on_date="2026-09-30")
    moved = f"{clients.path}/business_trips/{other.json['id']}"
    assert send(clients.member, "PATCH", moved, {"on_date": "2026-10-01"}, etag="*").status_code == 409
    assert send(clients.member, "PATCH", moved, {"miles": "3"}, etag="*").status_code == 200
    assert draft(clients, trip_ids=[first.json["id"]]).status_code == 201
    assert enter(clients).status_code == 201, "what a claim holds is open no more"


@pytest.mark.both_databases
def test_a_car_stays_while_its_trips_are_not_paid_for(clients: HomeClients) -> None:
    """Taken out with the car, trips that nobody decided about would be money that nobody can claim any more."""
    remove = lambda: send(clients.administrator, "DELETE", clients.car, etag="*")  # noqa: E731
    enter(clients)
    kept = remove()
    assert (kept.status_code, kept.json["title"]) == (409, "Trips of this car are not paid for yet")
    claim = draft(clients).json
    send(clients.member, "POST", f"{clients.path}/claims/{claim['id']}/sending", {})
    assert remove().status_code == 409
    send(clients.administrator, "POST", f"{API}/claims/{claim['id']}/approval", {})
    assert remove().status_code == 204
    assert clients.member.get(f"{clients.path}/claims/{claim['id']}").json["total_pence"] == 550
    assert clients.administrator.get(f"{API}/claims/{claim['id']}").status_code == 200
