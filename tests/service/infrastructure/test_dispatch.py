"""An event reaches each of its handlers, and what a handler did stands exactly when its delivery has ended."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pytest
from sqlalchemy import func, select

from service.accounts.models import AuditEntry
from service.accounts.operations import audit
from service.common.clock import FixedClock
from service.infrastructure import dispatch
from service.infrastructure.claims import claim_rows
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.dispatch import RETRY_DELAYS_S, deliver, fan_out
from service.infrastructure.mail.queue import Postmark
from service.infrastructure.outbox import Delivery, Event, announce
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import JobContext, Subscription
from tests.conftest import NOON
from tests.factories.queues import columns, database_ms, end_lease, make_due
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases


@dataclass(frozen=True)
class LampLit:
    """An event of these tests."""

    lamp_id: str


@dataclass(frozen=True)
class LampBroken:
    """Another, which nobody hears."""

    lamp_id: str


class SuddenEnd(BaseException):
    """Stands for the end of the process: as with KeyboardInterrupt, nothing may catch it and go on."""


def note(context: JobContext, session: SchemeSession, event: LampLit) -> None:
    """Leave a line in the audit trail: an effect that can be counted."""
    audit(session, account_id=None, action="note", subject_kind="lamp", subject_id=event.lamp_id, at=NOON)


def note_as_well(context: JobContext, session: SchemeSession, event: LampLit) -> None:
    audit(session, account_id=None, action="note_as_well", subject_kind="lamp", subject_id=event.lamp_id, at=NOON)


def note_and_fail(context: JobContext, session: SchemeSession, event: LampLit) -> None:
    note(context, session, event)
    session.flush()
    raise RuntimeError("after the effect")


@pytest.fixture
def context(settings: Settings, database: Database, clock: FixedClock) -> JobContext:
    return JobContext(settings, database, clock, Postmark("k" * 32, "mail.example"))


@pytest.fixture
def light(database: Database, scheme: str) -> Callable[..., None]:
    """Announce events."""

    def announced(*lamp_ids: str, event: Callable[[str], object] = LampLit) -> None:
        with database.scheme(scheme, write=True) as session:
            for lamp_id in lamp_ids:
                announce(session, event(lamp_id), at=NOON)

    return announced


@pytest.fixture
def effects(database: Database, scheme: str) -> Callable[[], list[tuple[str, str]]]:
    """Say what handlers did."""

    def found() -> list[tuple[str, str]]:
        with database.scheme(scheme, write=False) as session:
            rows = session.execute(select(AuditEntry.action, AuditEntry.subject_id))
            return sorted((action, subject_id) for action, subject_id in rows)

    return found


@pytest.fixture
def deliveries(database: Database, scheme: str) -> Callable[[], list[Delivery]]:
    def found() -> list[Delivery]:
        with database.scheme(scheme, write=False) as session:
            return list(session.scalars(select(Delivery).order_by(Delivery.handler)))

    return found


def on(*handlers: Callable[..., None]) -> Sequence[Subscription]:
    return [Subscription(LampLit, handler) for handler in handlers]


def count(database: Database, scheme: str, model: type, *where: object) -> int:
    with database.scheme(scheme, write=False) as session:
        return session.scalar(select(func.count()).select_from(model).where(*where)) or 0  # type: ignore[arg-type]


def test_each_event_gets_one_delivery_for_each_of_its_handlers_and_only_once(
    context: JobContext, light: Callable[..., None], deliveries: Callable[[], list[Delivery]]
) -> None:
    light("a", "b")
    light("c", event=LampBroken)
    handlers = on(note, note_as_well)
    assert [fan_out(context, handlers), fan_out(context, handlers)] == [3, 0]
    assert [each.handler for each in deliveries()] == ["service.note"] * 2 + ["service.note_as_well"] * 2
    assert len({(each.event_id, each.handler) for each in deliveries()}) == 4


def test_workers_that_fan_out_together_give_each_event_its_deliveries_once(
    context: JobContext, database: Database, scheme: str, light: Callable[..., None]
) -> None:
    light(*(str(number) for number in range(40)))
    took = at_once(6, lambda _: fan_out(context, on(note, note_as_well)))
    assert sum(took) == 40
    assert count(database, scheme, Delivery) == 80
    assert count(database, scheme, Event, Event.is_fanned_out.is_(False)) == 0


def test_an_event_of_a_transaction_that_failed_never_was(context: JobContext, database: Database, scheme: str) -> None:
    with database.scheme_session(scheme, write=True) as session:
        announce(session, LampLit("a"), at=NOON)
        session.flush()
        session.rollback()
    assert fan_out(context, on(note)) == 0


def test_a_handler_is_given_the_event_as_it_was_announced(context: JobContext, light: Callable[..., None]) -> None:
    heard: list[LampLit] = []
    light("a")
    handlers = on(lambda context, session, event: heard.append(event))
    fan_out(context, handlers)
    assert deliver(context, handlers) == 1
    assert heard == [LampLit("a")]


def test_a_handlers_effect_stands_with_its_delivery_done(
    context: JobContext,
    light: Callable[..., None],
    effects: Callable[[], list[tuple[str, str]]],
    deliveries: Callable[[], list[Delivery]],
) -> None:
    light("a", "b")
    fan_out(context, on(note, note_as_well))
    assert [deliver(context, on(note, note_as_well)) for _ in range(2)] == [4, 0]
    assert effects() == [("note", "a"), ("note", "b"), ("note_as_well", "a"), ("note_as_well", "b")]
    assert {(each.status, each.attempts) for each in deliveries()} == {("done", 1)}


def test_a_handler_that_fails_leaves_nothing_and_waits_for_another_try(
    context: JobContext,
    light: Callable[..., None],
    effects: Callable[[], list[tuple[str, str]]],
    deliveries: Callable[[], list[Delivery]],
) -> None:
    light("a")
    fan_out(context, on(note_and_fail, note_as_well))
    assert deliver(context, on(note_and_fail, note_as_well)) == 2
    assert effects() == [("note_as_well", "a")]
    assert [(each.handler, each.status) for each in deliveries()] == [
        ("service.note_and_fail", "waiting"),
        ("service.note_as_well", "done"),
    ]
    assert deliver(context, on(note_and_fail, note_as_well)) == 0  # not due yet


def test_a_handler_that_goes_on_failing_is_tried_after_growing_delays_and_then_given_up(
    context: JobContext,
    database: Database,
    light: Callable[..., None],
    effects: Callable[[], list[tuple[str, str]]],
    deliveries: Callable[[], list[Delivery]],
) -> None:
    light("a")
    handlers = on(note_and_fail)
    fan_out(context, handlers)
    waits_ms = []
    while True:
        before_ms = database_ms(database)
        assert deliver(context, handlers) == 1
        (row,) = deliveries()
        if row.status == "given_up":
            break
        waits_ms.append((row.not_before_ms - before_ms, row.not_before_ms - database_ms(database)))
        make_due(database, Delivery)
    for delay_s, (longest_ms, shortest_ms) in zip(RETRY_DELAYS_S, waits_ms, strict=True):
        assert shortest_ms <= delay_s * 1000 <= longest_ms
    assert (row.attempts, row.reason) == (len(RETRY_DELAYS_S) + 1, "see the log")
    make_due(database, Delivery)
    assert deliver(context, handlers) == 0
    assert effects() == []


def test_a_handler_that_works_again_is_done_once(
    context: JobContext,
    database: Database,
    light: Callable[..., None],
    effects: Callable[[], list[tuple[str, str]]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    light("a")
    fan_out(context, on(note))
    monkeypatch.setattr("tests.service.infrastructure.test_dispatch.audit", lambda *args, **kw: 1 // 0)
    deliver(context, on(note))
    monkeypatch.undo()
    assert effects() == []
    make_due(database, Delivery)
    deliver(context, on(note))
    assert effects() == [("note", "a")]


def test_a_delivery_whose_handler_is_gone_is_kept_for_a_person_to_see(
    context: JobContext, database: Database, light: Callable[..., None], deliveries: Callable[[], list[Delivery]]
) -> None:
    light("a")
    fan_out(context, on(note))
    for _ in range(len(RETRY_DELAYS_S) + 1):
        make_due(database, Delivery)
        deliver(context, on(note_as_well))
    assert [each.status for each in deliveries()] == ["given_up"]


@pytest.mark.faults
@pytest.mark.parametrize("point", ["delivery.claimed", "delivery.before_commit", "delivery.committed"])
def test_a_worker_that_ends_at_any_point_loses_nothing_and_repeats_nothing(
    context: JobContext,
    database: Database,
    light: Callable[..., None],
    effects: Callable[[], list[tuple[str, str]]],
    deliveries: Callable[[], list[Delivery]],
    monkeypatch: pytest.MonkeyPatch,
    point: str,
) -> None:
    def end(name: str) -> None:
        if name == point:
            raise SuddenEnd

    light("a")
    fan_out(context, on(note))
    monkeypatch.setattr(dispatch, "failpoint", end)
    with pytest.raises(SuddenEnd):
        deliver(context, on(note))
    monkeypatch.undo()
    is_over = point == "delivery.committed"
    assert effects() == ([("note", "a")] if is_over else [])
    (row,) = deliveries()
    assert row.status == ("done" if is_over else "claimed")
    end_lease(database, Delivery, row.id)
    assert deliver(context, on(note)) == (0 if is_over else 1)
    assert effects() == [("note", "a")]


def test_a_worker_that_was_overtaken_leaves_no_effect(
    context: JobContext, database: Database, light: Callable[..., None], effects: Callable[[], list[tuple[str, str]]]
) -> None:
    light("a")
    fan_out(context, on(note))
    with database.system(write=True) as session:
        (stale,) = claim_rows(session, Delivery, limit=1, lease_ms=60_000)
    end_lease(database, Delivery, stale.id)
    assert deliver(context, on(note)) == 1
    done = columns(database, Delivery, stale)
    dispatch._run(context, {each.name: each for each in on(note)}, stale)
    assert effects() == [("note", "a")]
    assert columns(database, Delivery, stale) == done


def test_workers_that_deliver_together_do_each_delivery_once(
    context: JobContext, light: Callable[..., None], effects: Callable[[], list[tuple[str, str]]]
) -> None:
    names = [f"{number:02d}" for number in range(30)]
    light(*names)
    fan_out(context, on(note))

    def work(_: int) -> int:
        total = 0
        while took := deliver(context, on(note)):
            total += took
        return total

    assert sum(at_once(4, work)) == 30
    assert effects() == [("note", name) for name in names]
