"""Whatever people write as a name, reference, label or reason: every message has its own headers and no others."""

from collections.abc import Callable
from datetime import date, timedelta
from email import message_from_bytes
from email.policy import compat32, default
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import delete, select

from service.accounts.models import Account, Scheme
from service.common.clock import FixedClock
from service.households.models import Circuit, Household, Lead, Outlet, Vehicle
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.delivery import _envelope
from service.infrastructure.mail.queue import Mail
from service.infrastructure.settings import Settings
from service.planning.domain.events import PlanChanged
from service.planning.models import CurrentPlan
from service.reminders import jobs
from service.reminders.models import Reminder, SafetyNotice
from service.safety.models import Electrician, Recheck, Visit
from service.worker import create_worker
from tests.conftest import sign_in
from tests.factories.world import Side, build_world

FORGED = "Bcc: thief@evil.example"
CORPUS = (
    f"a\r\n{FORGED}",
    f"a\n{FORGED}",
    f"a\r{FORGED}",
    f"a\r\n\r\n<p>{FORGED}",
    f"a\u2028{FORGED}\u2029{FORGED}\x85{FORGED}",
    "=?UTF-8?Q?=0ABcc:_thief@evil.example?=",
    "=?utf-8?b?DQpCY2M6IHRoaWVmQGV2aWwuZXhhbXBsZQ==?=",
    "=?UTF-8?Q?=0D=0A?= =?UTF-8?Q?Bcc:_thief@evil.example?=",
    f"\x00\x0b\x0c\x1b\x7f{FORGED}\u202e\u2066",
    "x" * 119,
    "漢" * 119,
    "😀=?" * 29,
    'a" <thief@evil.example>, "b',
    "thief@evil.example, other@evil.example; third: (comment) <>",
    "%0d%0aBcc:thief@evil.example&#13;&#10;",
    "--=_boundary\r\nContent-Type: text/html",
)
TEXTS = (
    (Scheme, "name", 120),
    (Account, "name", 120),
    (Household, "reference", 20),
    (Household, "member_name", 120),
    (Outlet, "label", 60),
    (Lead, "label", 60),
    (Circuit, "label", 60),
    (Vehicle, "label", 60),
    (Recheck, "rule", 120),
    (Electrician, "name", 120),
    (Electrician, "firm", 120),
    (Visit, "reason", 120),
)
OURS = ["From", "To", "Subject", "Date", "Message-ID", "Auto-Submitted", "MIME-Version", "Content-Type"]
TIP = {"List-Unsubscribe", "List-Unsubscribe-Post"}
KINDS = {
    "recheck_due",
    "recheck_overdue",
    "safety_overdue",
    "safety_ring",
    "safety_stop",
    "plan_changed",
    "inspection_link",
}


class Writers:
    """A scheme whose every text is somebody's attack, and everything that makes it write letters."""

    def __init__(self, settings: Settings, database: Database, clock: FixedClock, app: Any, side: Side) -> None:
        self.database, self.clock, self.app, self.side = database, clock, app, side
        self.worker = create_worker(settings, database=database, clock=clock)
        self.worker.clock_jobs = ()

    def write_with(self, shift: int) -> list[Mail]:
        """Put the corpus into every text, each text another piece of it; return every letter that comes of it."""
        side = self.side
        with self.database.system(write=True) as session:
            for model in (Mail, Reminder, SafetyNotice):
                session.execute(delete(model))
            for number, (model, column, longest) in enumerate(TEXTS):
                text = CORPUS[(number + shift) % len(CORPUS)]
                for row in session.scalars(select(model)):
                    # What is unique stays so: its own id stands behind the attack.
                    setattr(row, column, text[:longest] if column != "reference" else f"{text[:14]}{row.id[:6]}")
            for number, recheck in enumerate(session.scalars(select(Recheck))):
                recheck.due_on, recheck.done_on = date(2026, 9, 1) + timedelta(days=number), None
        jobs.run_due(self.worker.context)
        self.clock.move(timedelta(hours=25))
        jobs.run_due(self.worker.context)
        member, administrator = sign_in(self.app, side.member), sign_in(self.app, side.administrator)
        path = f"/api/v1/households/{side.ids['household_id']}/incidents"
        note = CORPUS[shift].replace("\x00", "")[:500]
        sign = {"sign": "warm", "outlet_id": side.ids["outlet_id"], "lead_id": None, "seen_at": None, "note": note}
        assert member.post(path, json=sign).status_code in (201, 422)
        assert member.post(path, json={**sign, "note": ""}).status_code == 201
        link = {
            "visit_ids": [side.ids["visit_id"]],
            "electrician_id": side.ids["electrician_id"],
            "sent_to": "hollin@wiring.example",
            "expires_in_days": 7,
        }
        assert administrator.post("/api/v1/inspection_links", json=link).status_code == 201
        with self.database.scheme(side.scheme_id, write=True) as session:
            plan = session.scalars(select(CurrentPlan.plan_id).where(CurrentPlan.id == side.ids["household_id"])).one()
            event = PlanChanged(side.ids["household_id"], plan, "tariff_change", f"occasion {shift}")
            jobs.tell_members_of_plan_change(self.worker.context, session, event)
        self.worker.prepare_plans()
        with self.database.scheme(side.scheme_id, write=False) as session:
            return list(session.scalars(select(Mail)))


@pytest.fixture
def writers(settings: Settings, database: Database, clock: FixedClock, app: Any, hasher: PasswordHasher) -> Writers:
    """A world with one of everything, signed in."""
    return Writers(settings, database, clock, app, build_world(database, settings, hasher).ours)


@pytest.mark.faults
def test_no_name_reference_label_or_reason_makes_a_header_or_a_recipient(
    writers: Writers, record_property: Callable[[str, object], None]
) -> None:
    seen: set[str] = set()
    count = 0
    for shift in range(0, len(CORPUS), 2):
        for mail in writers.write_with(shift):
            seen.add(mail.kind)
            count += 1
            envelope = _envelope(writers.worker.context, mail)
            plain = message_from_bytes(envelope.content, policy=compat32)
            extra = TIP if mail.unsubscribe_url else set()
            assert sorted(plain.keys()) == sorted([*OURS, *extra]), (mail.kind, shift)
            read = message_from_bytes(envelope.content, policy=default)
            assert [each.addr_spec for each in read["To"].addresses] == [mail.recipient] == [envelope.recipient]
            assert len(read["From"].addresses) == 1
            assert "thief" not in str(read["Subject"])
            assert max(map(len, envelope.content.split(b"\r\n"))) <= 998  # RFC 5322 section 2.1.1
            assert envelope.content.count(b"\n") == envelope.content.count(b"\r\n") == envelope.content.count(b"\r")
    record_property("letters", count)
    assert seen >= KINDS
