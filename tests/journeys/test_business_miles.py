"""A member claims business miles, whoever pays asks and approves, payroll gets a statement that never changes."""

import csv
import io
import json
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from hashlib import sha256
from typing import Any

import pytest
from openpyxl import load_workbook
from sqlalchemy import select

from service.accounts.models import Membership, Role
from service.accounts.operations import add_membership
from service.figures.models import DatedFigure
from service.households.models import ChargingRecord, Journey
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.outbox import Event
from service.reimbursement.models import BusinessTrip, Claim, Statement
from service.worker import create_worker
from tests.conftest import NOON
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

API = "/api/v1"
EVIL = '=HYPERLINK("http://x")'


class Story:
    """Two homes, a finance person, and a scheme that pays the advisory rate."""

    def __init__(self, clients: HomeClients, client: Any, scheme: str) -> None:
        self.clients = clients
        self.home, self.member, self.administrator = clients.home, clients.member, clients.administrator
        self.finance = client("finance", scheme)
        self.path = clients.path
        self.post(self.finance, "/reimbursement_rules", from_on="2020-01-01", company_method="advisory_rate")

    def post(self, who: Any, path: str, expected: int = 201, etag: str | None = None, **body: Any) -> Any:
        reply = send(who, "POST", path if path.startswith(API) else API + path, body, etag=etag)
        assert reply.status_code == expected, reply.get_data(as_text=True)
        return reply.json

    def hold(self, held_as: str = "own_car", from_on: str = "2020-01-01") -> Any:
        return self.post(
            self.member, f"{self.path}/car_holdings", vehicle_id=self.home.car_id, from_on=from_on, held_as=held_as
        )

    def drive(self, on: str, miles: str, expected: int = 201, **more: Any) -> Any:
        body = {
            "vehicle_id": self.home.car_id, "on_date": on, "origin": "Quince Row", "destination": "Fell Works",
            "reason": "survey of a site", "miles": miles, **more,
        }  # fmt: skip
        return self.post(self.member, f"{self.path}/business_trips", expected, **body)

    def draft(self, month: str, expected: int = 201, **more: Any) -> Any:
        return self.post(self.member, f"{self.path}/claims", expected, month=month, **more)

    def send(self, claim_id: str, expected: int = 200) -> Any:
        return self.post(self.member, f"{self.path}/claims/{claim_id}/sending", expected)

    def claimed(self, month: str, *miles: str) -> Any:
        for place, each in enumerate(miles):
            self.drive(f"{month}-{place + 1:02d}", each)
        return self.send(self.draft(month)["id"])

    def approve(self, claim_id: str, expected: int = 200) -> Any:
        return self.post(self.finance, f"/claims/{claim_id}/approval", expected)


@pytest.fixture
def story(database: Database, client: Any, scheme: str) -> Story:
    return Story(home_clients(database, client, scheme), client, scheme)


def test_miles_are_claimed_asked_about_approved_and_stated(story: Story, database: Database, scheme: str) -> None:
    story.hold()
    first = story.drive("2026-10-05", "42.5")
    story.drive("2026-10-06", "100", reason=EVIL)
    story.drive("2026-11-02", "7")
    listed = story.member.get(f"{story.path}/business_trips?month=2026-10").json
    assert (listed["total"], listed["miles"]) == (2, "142.5")
    preview = story.member.get(f"{story.path}/claim_preview?month=2026-10").json
    assert (preview["is_ready"], preview["total_pence"]) == (True, 7838)
    claim = story.draft("2026-10")
    assert (claim["state"], claim["is_ready"], claim["total_pence"]) == ("draft", True, 7838)
    assert [line["pence"] for line in claim["reckoning"]["lines"]] == [2338, 5500]
    sent = story.send(claim["id"])
    assert (sent["state"], sent["miles"], sent["total_pence"]) == ("sent", "142.5", 7838)
    assert story.member.get(f"{story.path}/business_trips/{first['id']}").json["is_locked"]

    seen = story.finance.get(f"{API}/claims/{claim['id']}").json
    assert seen["may_decide"]
    assert seen["note"] is None
    assert [line["reason"] for line in seen["reckoning"]["lines"]] == ["survey of a site", EVIL]
    assert "Quince Row" not in json.dumps(seen)
    assert "Fell Works" not in json.dumps(seen)
    asked = story.post(story.finance, f"/claims/{claim['id']}/query", 200, text="Which site was it?")
    assert asked["state"] == "queried"
    story.approve(claim["id"], 409)
    answered = story.post(story.member, f"{story.path}/claims/{claim['id']}/answer", 200, text="The one at the ford.")
    assert answered["state"] == "sent"
    # The clock stands still, so which of the two comes first is not said here.
    assert {each["kind"]: each["is_by_member"] for each in answered["messages"]} == {"query": False, "answer": True}
    assert story.approve(claim["id"])["state"] == "approved"

    counts = story.finance.get(f"{API}/claims?month=2026-10").json
    assert {each["state"]: each["claim_count"] for each in counts["counts"]}["approved"] == 1
    assert counts["total_pence"] == 7838
    stated = story.post(story.finance, "/statements", month="2026-10")
    assert (stated["claim_count"], stated["total_pence"]) == (1, 7838)
    story.post(story.finance, "/statements", 409, month="2026-10")
    assert story.member.get(f"{story.path}/claims/{claim['id']}").json["state"] == "stated"
    with database.scheme(scheme, write=False) as session:
        names = [row.name for row in session.scalars(select(Event)) if row.name.startswith("Claim")]
    assert sorted(names) == ["ClaimDecided", "ClaimQueried"]


def test_a_statement_does_not_change_when_rates_are_edited(story: Story, database: Database, scheme: str) -> None:
    story.hold()
    claim = story.claimed("2026-10", "42.5", "100")
    before = story.finance.get(f"{API}/claims/{claim['id']}").json
    new_rate = DatedFigure(
        name="mileage_allowance_first", key="", from_on=date(2026, 4, 6), value=Decimal(60), unit="pence per mile",
        standing="operator", source="typed by the operator", recorded_at=NOON, recorded_by="operator",
    )  # fmt: skip
    with database.system(write=True) as session:
        session.add(new_rate)
    after = story.finance.get(f"{API}/claims/{claim['id']}").json
    assert after["reckoning"] == before["reckoning"]
    assert after["note"] == (
        "Figures were recorded otherwise since it was sent (mileage allowance first: 55, now 60). With them this claim "
        "would come to 8550 p instead of 7838 p. It stands as it was sent; a difference is put right by a correction."
    )
    assert story.approve(claim["id"])["total_pence"] == 7838
    stated = story.post(story.finance, "/statements", month="2026-10")
    address = f"{API}/statements/{stated['id']}"
    files = {kind: story.finance.get(f"{address}/export?format={kind}").data for kind in ("csv", "xlsx", "json")}
    assert sha256(files["json"]).hexdigest() == stated["digest"]
    with database.system(write=True) as session:
        session.add(DatedFigure(**{**_columns(new_rate), "value": Decimal(70), "recorded_at": NOON + timedelta(1)}))
    again = {kind: story.finance.get(f"{address}/export?format={kind}").data for kind in files}
    assert again == files
    assert story.finance.get(address).json == stated


def _columns(row: DatedFigure) -> dict[str, Any]:
    names = ("name", "key", "from_on", "unit", "standing", "source", "recorded_by")
    return {name: getattr(row, name) for name in names}


def test_an_export_runs_nothing_and_shows_no_places(story: Story) -> None:
    story.hold()
    story.drive("2026-10-05", "10", reason=EVIL)
    claim = story.send(story.draft("2026-10")["id"])
    story.approve(claim["id"])
    stated = story.post(story.finance, "/statements", month="2026-11")
    text = story.finance.get(f"{API}/statements/{stated['id']}/export?format=csv").data.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert rows[0]["Purpose"] == f"'{EVIL}"
    assert [row["Pounds"] for row in rows] == ["5.50", "5.50", "5.50"]
    sheet = load_workbook(
        io.BytesIO(story.finance.get(f"{API}/statements/{stated['id']}/export?format=xlsx").data)
    ).active
    assert (sheet["I2"].value, sheet["I2"].data_type) == (EVIL, "s")
    assert "Quince Row" not in text


def test_a_member_has_a_copy_on_paper(story: Story) -> None:
    story.hold()
    story.drive("2026-10-05", "10")
    draft = story.draft("2026-10")
    address = f"{story.path}/claims/{draft['id']}/copy.pdf"
    assert story.member.get(address).status_code == 404
    story.send(draft["id"])
    reply = story.member.get(address)
    assert (reply.status_code, reply.mimetype, reply.data[:5]) == (200, "application/pdf", b"%PDF-")
    assert story.member.get(address).data == reply.data
    assert story.finance.get(address).status_code == 403


def test_nobody_decides_about_their_own_claim(story: Story, database: Database, scheme: str) -> None:
    story.hold()
    claim = story.claimed("2026-10", "10")
    address = f"{API}/claims/{claim['id']}"
    assert send(story.member, "POST", f"{address}/approval", {}).status_code == 403
    with database.scheme(scheme, write=True) as session:
        (own,) = session.scalars(select(Membership).where(Membership.household_id == story.home.id)).all()
        add_membership(
            session, account_id=own.account_id, role=Role.FINANCE, household_id=None, now=NOON
        )
    assert story.member.get(address).json["may_decide"] is False
    for what, body in (("approval", {}), ("refusal", {"text": "no"}), ("query", {"text": "why?"})):
        refused = send(story.member, "POST", f"{address}/{what}", body)
        assert refused.status_code == 403
        assert "Nobody decides about their own claim" in refused.json["detail"]
    many = story.post(
        story.member, "/claims/approvals", 200, claims=[{"claim_id": claim["id"], "version": claim["version"]}]
    )
    assert many["approved"] == []
    assert "Nobody decides about their own claim" in many["failed"][0]["reason"]
    assert story.approve(claim["id"])["state"] == "approved"


def test_many_are_approved_in_one_go_and_each_that_is_not_says_why(
    story: Story, client: Any, database: Database, scheme: str
) -> None:
    story.hold()
    ready = story.claimed("2026-09", "10")
    asked = story.claimed("2026-10", "20")
    story.post(story.finance, f"/claims/{asked['id']}/query", 200, text="why?")
    stale = story.claimed("2026-11", "30")
    wanted = [
        {"claim_id": ready["id"], "version": ready["version"]},
        {"claim_id": asked["id"], "version": asked["version"]},
        {"claim_id": stale["id"], "version": stale["version"] - 1},
        {"claim_id": UNKNOWN, "version": 1},
    ]
    done = story.post(story.finance, "/claims/approvals", 200, claims=wanted)
    assert (done["approved"], done["total_pence"]) == ([ready["id"]], 550)
    reasons = {each["claim_id"]: each["reason"] for each in done["failed"]}
    assert reasons[asked["id"]] == "The claim is queried; to approve it, it must be sent."
    assert reasons[stale["id"]] == "The claim has changed since it was read: look at it again."
    assert reasons[UNKNOWN] == "No such claim."


def test_of_two_approvals_at_once_one_counts(story: Story) -> None:
    story.hold()
    claim = story.claimed("2026-10", "10")
    who = (story.finance, story.administrator)
    replies = at_once(2, lambda n: send(who[n], "POST", f"{API}/claims/{claim['id']}/approval", {}).status_code)
    assert sorted(replies) == [200, 409]
    statements = at_once(2, lambda n: send(who[n], "POST", f"{API}/statements", {"month": "2026-10"}).status_code)
    assert sorted(statements) == [201, 409]


def test_of_two_bulk_approvals_at_once_each_claim_counts_once(story: Story) -> None:
    story.hold()
    sent = [story.claimed(month, "10") for month in ("2026-08", "2026-09", "2026-10")]
    body = {"claims": [{"claim_id": each["id"], "version": each["version"]} for each in sent]}
    who = (story.finance, story.administrator)
    replies = at_once(2, lambda n: send(who[n], "POST", f"{API}/claims/approvals", body).json)
    assert sorted(len(reply["approved"]) for reply in replies) == [0, 3]
    assert sum(reply["total_pence"] for reply in replies) == 3 * 550


@pytest.mark.parametrize("month", ["2026-08", "2026-09", "2026-10"])
def test_a_claim_that_is_withdrawn_approved_and_refused_at_once_goes_one_way(
    story: Story, database: Database, scheme: str, month: str
) -> None:
    story.hold()
    claim = story.claimed(month, "10")
    own, reviewed = f"{story.path}/claims/{claim['id']}", f"{API}/claims/{claim['id']}"
    many = {"claims": [{"claim_id": claim["id"], "version": claim["version"]}]}
    asked = [
        (story.member, f"{own}/withdrawal", {}),
        (story.finance, f"{reviewed}/approval", {}),
        (story.administrator, f"{reviewed}/refusal", {"text": "no"}),
        (story.finance, f"{API}/claims/approvals", many),
    ]
    replies = at_once(len(asked), lambda n: send(asked[n][0], "POST", *asked[n][1:]))
    done = [reply.status_code == 200 for reply in replies[:3]] + [bool(replies[3].json["approved"])]
    assert done.count(True) == 1, [reply.get_data(as_text=True) for reply in replies]
    assert all(reply.status_code in (200, 404, 409) for reply in replies)
    state = story.member.get(own).json["state"]
    assert state == ("draft", "approved", "refused", "approved")[done.index(True)]
    with database.scheme(scheme, write=False) as session:
        told = [row for row in session.scalars(select(Event)) if row.name == "ClaimDecided"]
    assert len(told) == (state != "draft")


def test_two_claims_sent_at_once_do_not_both_take_the_last_miles_at_the_first_rate(story: Story) -> None:
    story.hold()
    body = {"items": [{"tax_year_from_on": "2026-04-06", "miles": "9990"}]}
    send(story.member, "PUT", f"{story.path}/miles_elsewhere", body, etag="*")
    drafts = []
    for month in ("2026-09", "2026-10"):
        story.drive(f"{month}-05", "10")
        drafts.append(story.draft(month)["id"])
    replies = at_once(2, lambda n: send(story.member, "POST", f"{story.path}/claims/{drafts[n]}/sending", {}).json)
    assert sorted(reply["total_pence"] for reply in replies) == [10 * 25, 10 * 55]


def test_a_claim_sent_twice_at_once_is_sent_once(story: Story) -> None:
    story.hold()
    story.drive("2026-10-05", "10")
    address = f"{story.path}/claims/{story.draft('2026-10')['id']}/sending"
    assert sorted(at_once(2, lambda n: send(story.member, "POST", address, {}).status_code)) == [200, 409]


def test_whose_car_it_was_must_be_known(story: Story) -> None:
    story.drive("2026-10-05", "10")
    draft = story.draft("2026-10")
    assert not draft["is_ready"]
    assert [each["what"] for each in draft["reckoning"]["blockers"]] == ["whose car it was is not known"]
    refused = send(story.member, "POST", f"{story.path}/claims/{draft['id']}/sending", {})
    assert refused.status_code == 422
    assert "say whether blue hatchback was an own car or a company car" in refused.json["detail"]
    story.hold(from_on="2026-10-05")
    story.post(
        story.member, f"{story.path}/car_holdings", 409, vehicle_id=story.home.car_id, from_on="2026-10-05",
        held_as="company_car",
    )  # fmt: skip
    assert story.send(draft["id"])["total_pence"] == 550


def test_a_company_car_waits_for_the_operators_figure(story: Story, database: Database, scheme: str) -> None:
    story.hold("company_car")
    with database.scheme(scheme, write=True) as session:
        session.add(_record(story, datetime(2026, 10, 3, 1, tzinfo=UTC), "home", 30_000))
        session.add(_record(story, datetime(2026, 10, 9, 1, tzinfo=UTC), "public", 10_000))
    story.drive("2026-10-05", "100")
    draft = story.draft("2026-10")
    assert {each["what"] for each in draft["reckoning"]["blockers"]} == {"a figure is not known"}
    story.send(draft["id"], 422)
    with database.system(write=True) as session:
        session.add_all(
            DatedFigure(
                name=f"advisory_electric_{place}", key="", from_on=date(2026, 9, 1), value=Decimal(value),
                unit="pence per mile", standing="operator", source="typed by the operator", recorded_at=NOON,
                recorded_by="operator",
            )
            for place, value in (("home", 8), ("public", 16))
        )  # fmt: skip
    sent = story.send(draft["id"])
    assert sent["total_pence"] == 75 * 8 + 25 * 16
    used = {each["name"]: (each["value"], each["standing"]) for each in sent["reckoning"]["figures"]}
    assert used["advisory_electric_home"] == ("8", "operator")


def _record(story: Story, starts_at: datetime, place: str, energy_wh: int) -> ChargingRecord:
    return ChargingRecord(
        household_id=story.home.id, vehicle_id=story.home.car_id, place=place, starts_at=starts_at,
        ends_at=starts_at + timedelta(hours=4), energy_wh=energy_wh, is_metered=False, half_hours=[], source="typed",
        created_at=NOON,
    )  # fmt: skip


def test_a_correction_takes_the_old_lines_back_and_edits_nothing(story: Story) -> None:
    story.hold()
    claim = story.claimed("2026-10", "100", "20")
    story.approve(claim["id"])
    story.post(story.finance, "/statements", month="2026-10")
    old = story.member.get(f"{story.path}/claims/{claim['id']}").json
    new = story.post(story.member, f"{story.path}/claims/{claim['id']}/correction", reason="I mistyped a distance.")
    assert (new["state"], new["corrects_id"], new["ordinal"], new["total_pence"]) == ("draft", claim["id"], 2, 0)
    story.post(story.member, f"{story.path}/claims/{claim['id']}/correction", 409, reason="once more")
    listed = story.member.get(f"{story.path}/business_trips?month=2026-10").json
    trips = listed["items"]
    assert (listed["total"], listed["miles"]) == (2, "120"), "the copies stand for the trips that they are copies of"
    wrong = next(each for each in trips if each["miles"] == "100" and each["claim_id"] == new["id"])
    address = f"{story.path}/business_trips/{wrong['id']}"
    etag = story.member.get(address).headers["ETag"]
    assert send(story.member, "PATCH", address, {"miles": "10"}, etag=etag).status_code == 200
    sent = story.send(new["id"])
    assert [(line["kind"], line["pence"]) for line in sent["reckoning"]["lines"]] == [
        ("reversal", -5500), ("reversal", -1100), ("mileage_allowance", 550), ("mileage_allowance", 1100)
    ]  # fmt: skip
    assert (sent["total_pence"], sent["miles"]) == (-4950, "-90")
    story.approve(new["id"])
    second = story.post(story.finance, "/statements", month="2026-10")
    assert (second["ordinal"], second["total_pence"]) == (2, -4950)
    now = story.member.get(f"{story.path}/claims/{claim['id']}").json
    assert now["reckoning"] == old["reckoning"]
    assert now["is_corrected"]
    story.post(story.member, f"{story.path}/claims/{claim['id']}/correction", 409, reason="again")
    assert story.member.get(f"{story.path}/business_trips?month=2026-10").json["miles"] == "30"


def test_a_refused_claim_frees_its_trips_and_a_withdrawn_one_can_be_changed(story: Story, database: Database) -> None:
    story.hold()
    claim = story.claimed("2026-10", "10")
    refused = story.post(story.finance, f"/claims/{claim['id']}/refusal", 200, text="That was a private trip.")
    assert refused["state"] == "refused"
    assert story.member.get(f"{story.path}/business_trips?state=open").json["total"] == 1
    again = story.send(story.draft("2026-10")["id"])
    assert again["ordinal"] == 2
    back = story.post(story.member, f"{story.path}/claims/{again['id']}/withdrawal", 200)
    assert (back["state"], back["sent_at"]) == ("draft", None)
    etag = story.member.get(f"{story.path}/claims/{again['id']}").headers["ETag"]
    assert send(story.member, "DELETE", f"{story.path}/claims/{again['id']}", etag=etag).status_code == 204
    assert story.finance.get(f"{API}/claims?state=sent").json["total"] == 0


def test_a_csv_is_looked_at_first_and_taken_whole_or_not_at_all(story: Story) -> None:
    address = f"{story.path}/business_trips/import"
    head = "date,car,from,to,reason,miles\n"
    bad = head + "2026-10-05,blue hatchback,A,B,C,10\n2026-13-05,red van,A,B,,x\n"
    reply = story.member.post(address, data=bad, content_type="text/csv")
    assert (reply.status_code, reply.json["is_stored"]) == (200, False)
    assert [(each["line"], each["column"]) for each in reply.json["errors"]] == [
        (3, "date"), (3, "car"), (3, "miles")
    ]  # fmt: skip
    good = head + "2026-10-05,blue hatchback,A,B,C,10\n2026-10-06,blue hatchback,B,A,D,10.5\n"
    looked = story.member.post(f"{address}?is_dry_run=true", data=good, content_type="text/csv").json
    assert (looked["is_stored"], looked["row_count"], looked["miles"], looked["errors"]) == (False, 2, "20.5", [])
    assert story.member.get(f"{story.path}/business_trips").json["total"] == 0
    assert story.member.post(address, data=good, content_type="text/csv").json["is_stored"]
    assert story.member.get(f"{story.path}/business_trips").json["miles"] == "20.5"
    # The same table once more would be paid twice.
    more = good + "2026-10-06,blue hatchback,A,B,D,10.5\n"
    for query in ("?is_dry_run=true", ""):
        again = story.member.post(f"{address}{query}", data=more, content_type="text/csv").json
        assert (again["is_stored"], [each["line"] for each in again["errors"]]) == (False, [2, 3])
    assert story.member.get(f"{story.path}/business_trips").json["total"] == 2


def test_a_journey_of_the_car_is_not_claimed_by_two_who_live_there(
    story: Story, client: Any, database: Database, scheme: str
) -> None:
    with database.scheme(scheme, write=True) as session:
        session.add(
            Journey(
                household_id=story.home.id, vehicle_id=story.home.car_id, leaves_at=NOON - timedelta(days=2, hours=3),
                returns_at=NOON - timedelta(days=2), miles=Decimal(120),
            )
        )  # fmt: skip
    address = f"{story.path}/business_journeys"
    (journey,) = story.member.get(address).json["items"]
    body = {"journeys": [{"journey_id": journey["journey_id"], "origin": "A", "destination": "B", "reason": "C"}]}
    who = (story.member, client("member", scheme, story.home.id))
    assert sorted(at_once(2, lambda n: send(who[n], "POST", address, body).status_code)) == [201, 409]
    assert [each.get(address).json["items"][0]["is_taken"] for each in who] == [True, True]


def test_a_planned_journey_is_taken_as_a_trip_once_it_is_over(story: Story, database: Database, scheme: str) -> None:
    entered = send(
        story.member, "POST", f"{story.clients.car}/journeys",
        {
            "leaves_at": "2026-11-27T08:00:00Z", "returns_at": "2026-11-27T18:00:00Z", "miles": "64",
            "is_business": True,
        },
    )  # fmt: skip
    assert entered.json["is_business"]
    with database.scheme(scheme, write=True) as session:
        session.add(
            Journey(
                household_id=story.home.id, vehicle_id=story.home.car_id, leaves_at=NOON - timedelta(days=2, hours=3),
                returns_at=NOON - timedelta(days=2), miles=Decimal(120),
            )
        )  # fmt: skip
    address = f"{story.path}/business_journeys"
    ahead, past = story.member.get(address).json["items"]
    assert (ahead["is_past"], ahead["is_business"], past["is_past"]) == (False, True, True)
    words = {"origin": "A", "destination": "B", "reason": "C"}
    refused = send(story.member, "POST", address, {"journeys": [{"journey_id": ahead["journey_id"], **words}]})
    assert pointers(refused) == ["#/journeys/0/journey_id"]
    body = {"journeys": [{"journey_id": past["journey_id"], **words}]}
    (trip,) = send(story.member, "POST", address, body).json["items"]
    assert (trip["on_date"], trip["miles"], trip["source"]) == ("2026-11-23", "120", "journey")
    assert send(story.member, "POST", address, body).status_code == 409


def test_miles_elsewhere_count_towards_the_threshold(story: Story) -> None:
    story.hold()
    address = f"{story.path}/miles_elsewhere"
    etag = story.member.get(address).headers["ETag"]
    body = {"items": [{"tax_year_from_on": "2026-04-06", "miles": "9990"}]}
    told = send(story.member, "PUT", address, body, etag=etag)
    assert told.json["items"] == [{"tax_year_from_on": "2026-04-06", "tax_year": "2026/27", "miles": "9990"}]
    assert send(story.member, "PUT", address, body, etag=etag).status_code == 412
    assert story.claimed("2026-10", "20")["total_pence"] == 10 * 55 + 10 * 25


def test_a_cap_and_a_last_day_are_the_schemes_rule(story: Story) -> None:
    story.hold()
    story.post(
        story.finance, "/reimbursement_rules", from_on="2026-09-01", company_method="advisory_rate",
        monthly_cap_pence=1000, claim_within_days=30,
    )  # fmt: skip
    story.drive("2026-09-01", "10")
    late = send(story.member, "POST", f"{story.path}/claims/{story.draft('2026-09')['id']}/sending", {})
    assert (late.status_code, pointers(late)) == (422, ["#/month"])
    capped = story.claimed("2026-10", "10", "10")
    assert [(line["kind"], line["pence"]) for line in capped["reckoning"]["lines"]][-1] == ("cap", -100)
    assert capped["total_pence"] == 1000


def test_after_the_last_day_a_correction_may_give_back_but_not_take(story: Story, database: Database) -> None:
    story.hold()
    claim = story.claimed("2026-09", "10", "20")
    story.approve(claim["id"])
    story.post(
        story.finance, "/reimbursement_rules", from_on="2026-01-01", company_method="advisory_rate",
        claim_within_days=30,
    )  # fmt: skip
    new = story.post(story.member, f"{story.path}/claims/{claim['id']}/correction", reason="Mistyped.")
    trips = story.member.get(f"{story.path}/business_trips?month=2026-09").json["items"]
    address = f"{story.path}/business_trips/{next(each['id'] for each in trips if each['miles'] == '10')}"
    sending = f"{story.path}/claims/{new['id']}/sending"
    for miles, status in (("11", 422), ("9", 200)):
        etag = story.member.get(address).headers["ETag"]
        assert send(story.member, "PATCH", address, {"miles": miles}, etag=etag).status_code == 200
        assert send(story.member, "POST", sending, {}).status_code == status


@pytest.mark.parametrize(
    "rest",
    [
        "", "/plan", "/plan/week", "/plan/working", "/totals", "/habits", "/vehicles/{car}/routine",
        "/vehicles/{car}/journeys", "/vehicles/{car}/diary", "/business_trips", "/claims", "/business_journeys",
        "/claim_preview?month=2026-10", "/miles_elsewhere", "/car_holdings", "/safety_file", "/what_ifs",
    ],
)  # fmt: skip
def test_finance_sees_nothing_of_when_a_home_is_empty(story: Story, rest: str) -> None:
    reply = story.finance.get(story.path + rest.format(car=story.home.car_id))
    assert reply.status_code == 403


def test_another_member_and_an_administrator_see_no_ones_trips(story: Story) -> None:
    story.hold()
    trip = story.drive("2026-10-05", "10")
    claim = story.draft("2026-10")
    for rest in ("/business_trips", f"/business_trips/{trip['id']}", "/claims", f"/claims/{claim['id']}"):
        assert story.clients.stranger.get(story.path + rest).status_code == 404
        assert story.administrator.get(story.path + rest).status_code == 403
    assert story.finance.get(f"{API}/claims/{claim['id']}").status_code == 404  # a draft is nobody else's business


def test_what_is_stored_adds_up(story: Story, database: Database, scheme: str) -> None:
    story.hold()
    claim = story.claimed("2026-10", "0.1", "0.1", "0.3")
    with database.scheme(scheme, write=False) as session:
        row = session.get(Claim, (scheme, claim["id"]))
        assert row is not None
        assert row.total_pence == sum(line["pence"] for line in row.reckoning["lines"]) == 28  # type: ignore[index]
        assert sum(trip.miles for trip in session.scalars(select(BusinessTrip))) == row.miles
        assert session.scalars(select(Statement)).all() == []


def test_the_member_is_told_by_mail_of_a_question_and_a_decision(
    story: Story, database: Database, scheme: str, settings: Any, clock: Any
) -> None:
    story.hold()
    claim = story.claimed("2026-10", "10")
    story.post(story.finance, f"/claims/{claim['id']}/query", 200, text="Which site was it?")
    story.post(story.member, f"{story.path}/claims/{claim['id']}/answer", 200, text="The one at the ford.")
    story.approve(claim["id"])
    create_worker(settings, database=database, clock=clock).prepare_plans()
    with database.scheme(scheme, write=False) as session:
        mail = session.scalars(select(Mail).where(Mail.kind == "claim_news")).all()
    assert {row.subject for row in mail} == {"There is a question about your claim", "Your claim was approved"}
    assert {row.recipient for row in mail} == {"person2@member.example"}
    assert not any(word in row.text for row in mail for word in ("ford", "site", "Quince"))
