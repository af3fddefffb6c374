"""A plug is warm, or a socket is another now: charging is gone at once, everybody is told, each item lifts alone."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select, update

from service.accounts.models import Membership, Role
from service.common.clock import FixedClock
from service.households.models import Lead, Outlet, Vehicle
from service.infrastructure.claims import claim_rows
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.settings import Settings
from service.planning.models import CurrentPlan, ReplanChunk
from service.planning.operations import runs
from service.planning.operations.reads import current_document
from service.reminders.jobs import raise_unread_notices
from service.tariffs.operations import publish_version
from service.worker import Worker, create_worker
from tests.conftest import NOON, sign_in
from tests.factories.fleet import Fleet, make_fleet
from tests.factories.home_clients import send
from tests.factories.signs import GOOD_ANSWERS

pytestmark = pytest.mark.both_databases
DAY = timedelta(days=1)
PDF = b"%PDF-1.4\n1 0 obj<<>>endobj\ntrailer<<>>\nstartxref\n9\n%%EOF\n"


@dataclass
class Story:
    """A planned home, the people in it, and the worker."""

    home_id: str
    outlet_id: str
    lead_id: str
    worker: Worker
    clock: FixedClock
    app: Any
    member: Any
    administrator: Any

    def move(self, delta: timedelta) -> None:
        """Let time pass; sessions end meanwhile, so both sign in again."""
        self.clock.move(delta)
        self.member = sign_in(self.app, "person1@member.example")
        self.administrator = sign_in(self.app, "person2@administrator.example")

    @property
    def path(self) -> str:
        return f"/api/v1/households/{self.home_id}"

    def plan(self) -> Any:
        reply = self.member.get(f"{self.path}/plan")
        assert reply.status_code == 200, reply.get_data(as_text=True)
        return reply.json

    def blocks(self) -> list[Any]:
        return [block for car in self.plan()["vehicles"] for stay in car["stays"] for block in stay["blocks"]]

    def standing(self) -> tuple[str, str]:
        shown = self.member.get(self.path).json
        leads = {lead["lead_id"]: lead["clearance"] for lead in shown["lead_clearances"]}
        return shown["clearances"][0]["clearance"], leads[self.lead_id]

    def change_outlet(self, **changes: Any) -> None:
        path = f"{self.path}/outlets/{self.outlet_id}"
        etag = self.administrator.get(path).headers["ETag"]
        reply = send(self.administrator, "PATCH", path, changes, etag=etag)
        assert reply.status_code == 200, reply.get_data(as_text=True)

    def report_warm_plug(self) -> Any:
        answers = [{"question": "warmth", "answer": "warm"}]
        body = {"outlet_id": self.outlet_id, "lead_id": self.lead_id, "answers": answers}
        reply = send(self.member, "POST", f"{self.path}/checks", body, key="one check")
        assert reply.status_code == 201, reply.get_data(as_text=True)
        return reply.json

    def inspect(self) -> str:
        """The scheme records what an electrician found today, with the certificate; nobody has accepted it yet."""
        day = self.clock.now().date()
        kept = self.administrator.post(f"{self.path}/files?purpose=certificate&name=report.pdf", data=PDF)
        assert kept.status_code == 201, kept.get_data(as_text=True)
        body = {
            "outlet_id": self.outlet_id, "inspected_on": str(day), "next_due_on": str(day.replace(year=day.year + 5)),
            "certificate_number": "C-77", "electrician": "Hollin Wiring (invented)", "observations": [],
            "file_id": kept.json["id"], "was_tested": "yes", "knew_use": "yes", "answers": GOOD_ANSWERS.to_json(),
        }  # fmt: skip
        reply = send(self.administrator, "POST", f"{self.path}/inspections", body)
        assert reply.status_code == 201, reply.get_data(as_text=True)
        return str(reply.json["id"])

    def accept(self, inspection_id: str) -> None:
        """A safety officer compares it with the certificate."""
        path = f"{self.path}/inspections/{inspection_id}/acceptance"
        reply = send(self.administrator, "POST", path, {})
        assert reply.status_code == 200, reply.get_data(as_text=True)

    def record_new_lead(self) -> None:
        body = {"kind": "replacement", "done_at": self.clock.now().isoformat(), "tested_by": "the scheme"}
        reply = send(self.administrator, "POST", f"{self.path}/leads/{self.lead_id}/tests", body)
        assert reply.status_code == 201, reply.get_data(as_text=True)


@pytest.fixture
def fleet(database: Database, scheme: str) -> Fleet:
    return make_fleet(database, scheme, 2, seed=11, now=NOON, moving_share=0.5)


@pytest.fixture
def story(
    settings: Settings,
    database: Database,
    clock: FixedClock,
    scheme: str,
    fleet: Fleet,
    app: Any,
    client: Callable[..., Any],
) -> Story:
    """A home with its first plan."""
    worker = create_worker(settings, database=database, clock=clock)
    worker.prepare_plans()
    home_id = fleet.moving_household_ids[0]
    with database.scheme(scheme, write=False) as session:
        outlet_id, lead_id = (
            session.scalars(select(model.id).where(model.household_id == home_id)).one() for model in (Outlet, Lead)
        )
        assert session.scalars(select(Vehicle.lead_id).where(Vehicle.household_id == home_id)).all() == [lead_id]
    member, administrator = client("member", scheme, home_id), client("administrator", scheme)
    with database.scheme(scheme, write=True) as session:
        session.execute(
            update(Membership).where(Membership.role == Role.ADMINISTRATOR.value).values(is_safety_officer=True)
        )
    return Story(home_id, outlet_id, lead_id, worker, clock, app, member, administrator)


def test_a_warm_plug_empties_the_plan_in_the_same_second_and_the_worker_plans_without_it(
    story: Story, database: Database, scheme: str
) -> None:
    assert story.blocks()
    assert story.standing() == ("fit_to_use", "use_with_limits")
    etag = story.member.get(f"{story.path}/plan").headers["ETag"]

    answer = story.report_warm_plug()
    assert next(iter(answer)) == "do_now"

    plan = story.plan()
    assert story.blocks() == []
    assert (plan["is_stopped"], plan["stopped_at"], plan["is_current"]) == (True, NOON.isoformat(), False)
    assert (plan["energy_kwh"], plan["cost_pence"], plan["on_arrival_cost_pence"]) == (0, None, None)
    again = story.member.get(f"{story.path}/plan", headers={"If-None-Match": etag})
    assert again.status_code == 200, "a copy from before the stop must not pass as current"
    week = story.member.get(f"{story.path}/plan/week").json
    assert (week["is_stopped"], [sum(car["energy_kwh"]) for car in week["vehicles"]]) == (True, [0.0])
    assert [step["result"] for step in story.member.get(f"{story.path}/plan/working").json["steps"]] == ["no charging"]
    assert story.administrator.get(f"{story.path}/totals").json["week_energy_kwh"] == 0
    with database.scheme(scheme, write=False) as session:
        document = current_document(session, story.home_id)
    assert document is not None
    assert document["energy_kwh"] == 0
    assert story.standing() == ("do_not_use", "do_not_use")
    listed = story.administrator.get("/api/v1/households?clearance=do_not_use").json
    assert [row["id"] for row in listed["items"]] == [story.home_id]

    story.worker.prepare_plans()
    plan = story.plan()
    assert (plan["is_stopped"], plan["stopped_at"], plan["is_current"], story.blocks()) == (False, None, True, [])
    causes = {short["cause"] for car in plan["vehicles"] for short in car["shortfalls"]}
    assert causes == {"no_usable_outlet"}


def test_everybody_concerned_has_one_message_whatever_the_hour(
    story: Story, database: Database, scheme: str, client: Callable[..., Any], fleet: Fleet
) -> None:
    client("administrator", scheme)
    client("member", scheme, story.home_id)
    client("member", scheme, next(home for home in fleet.household_ids if home != story.home_id))
    story.move(timedelta(hours=14))  # two at night
    story.report_warm_plug()
    for _ in range(2):
        story.worker.prepare_plans()
    with database.scheme(scheme, write=False) as session:
        sent = session.scalars(select(Mail).where(Mail.kind == "safety_stop")).all()
        household = session.scalars(select(Mail.household_id).distinct()).all()
    assert household == [story.home_id]
    at_home = [mail for mail in sent if mail.subject == "Stop charging at home"]
    in_scheme = [mail for mail in sent if mail.subject == "Stop charging in a home of the scheme"]
    # The fleet's own member of the home, and the two signed in here; two administrators.
    assert (len(at_home), len(in_scheme), len(sent)) == (3, 2, 5)
    assert len({mail.recipient for mail in sent}) == 5
    for mail in at_home:
        assert mail.text.index("End the charge at the car.") < mail.text.index("warmer than just noticeable")
    for mail in sent:
        assert "an electrician's inspection of this outlet" in " ".join(mail.text.split())


def test_a_new_lead_lifts_the_lead_only_and_an_inspection_the_outlet_only(story: Story) -> None:
    story.report_warm_plug()
    story.worker.prepare_plans()
    story.move(DAY)
    story.record_new_lead()
    story.worker.prepare_plans()
    assert (story.standing(), story.blocks()) == (("do_not_use", "use_with_limits"), [])
    inspection_id = story.inspect()
    story.worker.prepare_plans()
    assert (story.standing(), story.blocks()) == (("do_not_use", "use_with_limits"), [])
    story.accept(inspection_id)
    story.worker.prepare_plans()
    assert story.standing() == ("fit_to_use", "use_with_limits")
    assert story.blocks()


def test_an_inspection_alone_leaves_the_lead_stopped_and_nothing_planned(story: Story) -> None:
    story.report_warm_plug()
    story.accept(story.inspect())  # of the day of the report: it may have come before the sign
    story.worker.prepare_plans()
    assert story.standing() == ("do_not_use", "do_not_use")
    story.move(DAY)
    story.accept(story.inspect())
    story.worker.prepare_plans()
    assert (story.standing(), story.blocks()) == (("fit_to_use", "do_not_use"), [])
    reports = story.member.get(f"{story.path}/safety_reports").json["items"]
    assert [(report["state"], [bool(item["lifted_by"]) for item in report["items"]]) for report in reports] == [
        ("open", [True, False])
    ]


def test_a_run_that_began_before_the_report_does_not_plan_past_it(
    story: Story, database: Database, scheme: str, fleet: Fleet
) -> None:
    with database.scheme(scheme, write=True) as session:
        publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=NOON)
    for step in (0, 1):
        story.worker._steps[step]()  # the run stands, from noon on; its chunk is claimed after the report
    story.clock.move(timedelta(seconds=30))
    story.report_warm_plug()
    with database.system(write=True) as session:
        (claim,) = claim_rows(session, ReplanChunk, limit=1, lease_ms=60_000)
    runs.run_chunk(story.worker.context, claim)
    with database.scheme(scheme, write=False) as session:
        pointer = session.scalars(select(CurrentPlan).where(CurrentPlan.id == story.home_id)).one()
        assert pointer.as_of_slot * 1800 == NOON.timestamp()
    assert story.blocks() == []
    story.worker.prepare_plans()
    assert story.blocks() == []


def test_an_inspection_that_finds_danger_stops_charging_at_once_and_is_told(
    story: Story, database: Database, scheme: str
) -> None:
    assert story.blocks()
    finding = {"code": "C2", "note": "no earth at the outlet", "closed_on": None}
    sent = send(
        story.administrator,
        "post",
        f"{story.path}/inspections",
        {
            "outlet_id": story.outlet_id,
            "inspected_on": NOON.date().isoformat(),
            "next_due_on": "2027-11-25",
            "certificate_number": "C-2",
            "electrician": "E. Volt",
            "observations": [finding],
        },
    )
    assert sent.status_code == 201
    stopped = story.plan()
    assert (stopped["is_stopped"], story.blocks()) == (True, [])
    story.worker.prepare_plans()
    assert story.blocks() == []
    with database.scheme(scheme, write=False) as session:
        mails = session.execute(select(Mail.recipient, Mail.kind, Mail.text).order_by(Mail.recipient)).all()
    # The home's two drivers and the administrator.
    assert {mail.kind for mail in mails} == {"safety_stop"}
    assert [mail.recipient.partition("@")[0] for mail in mails] == ["driver-1", "person1", "person2"]
    assert all("C2" in mail.text for mail in mails)


def test_an_extension_lead_empties_the_plan_until_it_is_not_used_any_more(
    story: Story, database: Database, scheme: str
) -> None:
    assert story.blocks()
    body = {"outlet_id": story.outlet_id, "label": "Orange reel", "is_coiled": "yes"}
    used = send(story.member, "POST", f"{story.path}/extension_leads", body)
    assert (used.status_code, used.json["allows_charging"], story.blocks()) == (201, False, [])
    assert story.standing() == ("do_not_use", "use_with_limits")
    story.worker.prepare_plans()
    assert (story.plan()["is_current"], story.blocks()) == (True, [])
    with database.scheme(scheme, write=False) as session:
        told = session.scalars(select(Mail.text).where(Mail.kind == "safety_stop")).all()
    assert len(told) >= 2  # the member and the administrator
    assert all("Orange reel, an extension lead, is used at" in text for text in told)

    ended = send(story.member, "POST", f"{story.path}/extension_leads/{used.json['id']}/ending")
    assert (ended.status_code, story.standing()[0]) == (200, "fit_to_use")
    story.worker.prepare_plans()
    assert story.blocks()


def test_another_serial_number_empties_the_plan_at_once_and_everybody_has_a_notice_to_read(
    story: Story, database: Database, scheme: str
) -> None:
    story.change_outlet(serial_or_batch="S-1")  # nobody knew it before: the inspection still speaks of this socket
    story.worker.prepare_plans()
    assert story.blocks()
    for who in (story.member, story.administrator):
        assert who.get("/api/v1/notices").json["items"] == []

    story.change_outlet(serial_or_batch="S-2")
    assert (story.plan()["is_stopped"], story.blocks(), story.standing()[0]) == (True, [], "not_known")
    for _ in range(2):
        story.worker.prepare_plans()
    assert (story.plan()["is_current"], story.blocks()) == (True, [])
    for who in (story.member, story.administrator):
        (notice,) = who.get("/api/v1/notices?unread=true").json["items"]
        assert (notice["kind"], notice["household_id"]) == ("stop", story.home_id)
        assert "something that its last inspection rests on was changed: serial or batch" in notice["text"]
        assert "not known until an electrician has looked; do not charge from it" in notice["text"]

    # The member reads theirs; the administrator's and that of the home's other driver rise to the duty contact.
    (notice,) = story.member.get("/api/v1/notices?unread=true").json["items"]
    assert story.member.post(f"/api/v1/notices/{notice['id']}/reading").status_code == 200
    story.move(DAY + timedelta(minutes=1))
    raise_unread_notices(story.worker.context)
    raised = story.administrator.get("/api/v1/raised_notices?rung=false").json["items"]
    assert [line["household_id"] for line in raised] == [story.home_id] * 2
    assert {line["raised_why"] for line in raised} == {"unread for 24 hours"}
    with database.scheme(scheme, write=False) as session:
        sent = session.scalars(select(Mail).where(Mail.kind == "safety_stop")).all()
    assert [mail.recipient.partition("@")[0] for mail in sorted(sent, key=lambda mail: mail.recipient)] == [
        "driver-1", "person1", "person2"
    ]  # fmt: skip
