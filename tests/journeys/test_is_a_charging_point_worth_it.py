"""A home asks whether a charging point is worth it; the scheme ranks homes, and a stopped one comes first."""

from __future__ import annotations

from typing import Any

import pytest

from service.advice import jobs
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.worker import create_worker
from tests.conftest import NOON
from tests.factories.fleet import make_fleet
from tests.factories.home_clients import send

pytestmark = pytest.mark.both_databases

LIST = "/api/v1/upgrades?budget_pounds=600"


def test_quotes_lift_a_home_and_a_stop_goes_before_them(
    database: Database, client: Any, scheme: str, settings: Settings
) -> None:
    first, second, third = make_fleet(database, scheme, 3, seed=3, now=NOON).household_ids
    member, neighbour = client("member", scheme, first), client("member", scheme, second)
    administrator = client("administrator", scheme)
    context = create_worker(settings, database=database, clock=FixedClock(NOON)).context
    assert jobs.reckon_upgrades(context) == 3

    # Nothing pays at assumed costs; a low quote turns the verdict and the list, without any reckoning anew.
    asked = f"/api/v1/households/{first}/upgrade"
    assert send(member, "GET", asked).json["answer"] == "stay"
    assert {row["place"] for row in send(administrator, "GET", LIST).json["items"]} == {"no_gain"}
    quote = {"kind": "point_tethered", "cost_pence": "5000", "quoted_on": "2026-11-24"}
    assert send(member, "POST", f"/api/v1/households/{first}/upgrade_quotes", quote).status_code == 201
    verdict = send(member, "GET", asked).json
    assert (verdict["answer"], verdict["best"]) == ("pays_back", "point_tethered")
    top = send(administrator, "GET", LIST).json["items"][0]
    assert (top["household_id"], top["place"], top["is_paid_for"]) == (first, "chosen", True)

    # A neighbour's plug is warm: charging stops, and that home comes first from the same moment.
    outlet = neighbour.get(f"/api/v1/households/{second}").json["outlets"][0]
    warm = {"sign": "warm", "outlet_id": outlet["id"], "lead_id": None, "seen_at": None, "note": ""}
    assert send(neighbour, "POST", f"/api/v1/households/{second}/incidents", warm).status_code in (200, 201)
    told = send(neighbour, "GET", f"/api/v1/households/{second}/upgrade").json
    assert told["answer"] == "safety_first" and told["is_stopped"] and told["is_as_if_cleared"]
    found = send(administrator, "GET", LIST).json
    top, after = found["items"][:2]
    assert (top["household_id"], top["place"], top["clearance"]) == (second, "safety", "do_not_use")
    assert top["is_paid_for"] and top["work"]["work"] == "dedicated_circuit"
    assert (after["household_id"], after["is_paid_for"]) == (first, True)
    assert (found["spent_pounds"], found["reckoned_count"]) == (500, 2)

    # The clock comes to the changed home by itself, and then has nothing left to do.
    assert [jobs.reckon_upgrades(context) for _ in range(2)] == [1, 0]
    assert send(administrator, "GET", LIST).json["reckoned_count"] == 3
    assert third in [row["household_id"] for row in found["items"]]
