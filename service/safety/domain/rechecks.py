"""On which date each item of a home falls due again, and which rule set it: the earliest that speaks to it governs.

Each item has one date for each thing that is done with it: an outlet is inspected by an electrician, checked by a
member, and mended after a report; a circuit is reported on; a lead is checked; an RCD's button is pressed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum
from typing import Final

from service.safety.domain.arithmetic.editions import Mark
from service.safety.domain.evidence import RecheckItem
from service.safety.domain.intervals import (
    INTERVALS,
    IntervalItem,
    IntervalRule,
    SchemeInterval,
    interval_for,
)

REPORT_RULE_NAME: Final = "report_states"
INSPECTION_RULE: Final = "the next due date that the newest recorded inspection of the outlet states"
AFTER_SIGN: Final = IntervalRule(
    "after_sign", IntervalItem.OUTLET_CHECK, "looked at again a month after a sign was lifted", "",
    Mark.COMMON_PRACTICE, date(2008, 1, 1), months=1,
)  # fmt: skip
OCCUPANTS_RULE_NAME: Final = "new_occupants"
OCCUPANTS_RULE: Final = "a home is inspected again when other people come to live in it"
OCCUPANTS_SOURCE: Final = "GN3 Table 3.2 as quoted in guides to periodic inspection (P)"
EARLY_DAYS: Final = 7
"""Own choice: a look this many days before the date after a sign, or later, is the look that was asked for."""

Item = tuple[RecheckItem, str]


class Task(StrEnum):
    """What is done with an item when it falls due."""

    INSPECTION = "inspection"
    CHECK = "check"
    BUTTON = "button"
    REMEDY = "remedy"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class DatedOutlet:
    """An outlet as its dates depend on it."""

    id: str
    kind: str
    nights_a_week: int | None
    circuit_id: str | None


@dataclass(frozen=True, slots=True)
class DatedInspection:
    """A recorded inspection; one that does not count is a claim: it may bring a date forward, never put it off."""

    outlet_id: str
    inspected_on: date
    next_due_on: date
    is_counting: bool
    has_open_stop: bool = False


@dataclass(frozen=True)
class DatedHome:
    """All that the dates of one home depend on.

    ``looked_on`` is the last clear look at an outlet or lead, ``lifted_on`` when the last sign was lifted from it,
    ``pressed_on`` when a device's button was last pressed.  ``devices`` are RCDs by id, with their circuit.
    ``extensions`` move one date of an item once: (item id, from) -> to.  ``occupied_since_on`` is the day from which
    the same people live there.
    """

    tenure: str
    nation: str
    opened_on: date
    outlets: tuple[DatedOutlet, ...] = ()
    leads: Mapping[str, str] = field(default_factory=dict)
    circuits: tuple[str, ...] = ()
    devices: Mapping[str, str] = field(default_factory=dict)
    inspections: tuple[DatedInspection, ...] = ()
    looked_on: Mapping[Item, date] = field(default_factory=dict)
    lifted_on: Mapping[Item, date] = field(default_factory=dict)
    pressed_on: Mapping[str, date] = field(default_factory=dict)
    extensions: Mapping[tuple[str, date], date] = field(default_factory=dict)
    scheme: tuple[SchemeInterval, ...] = ()
    occupied_since_on: date | None = None


@dataclass(frozen=True, slots=True)
class SetDate:
    """A date that a rule set: counted from ``since_on``, the day of the evidence."""

    item_kind: RecheckItem
    item_id: str
    task: Task
    due_on: date
    since_on: date
    rule: str
    rule_name: str
    is_claimed: bool = False

    @property
    def interval_days(self) -> int:
        """Days from the evidence to the date: what the lead times of reminders scale with."""
        return (self.due_on - self.since_on).days


def task_of(item_kind: str, rule_name: str, rule: str) -> Task:
    """Return what a stored recheck asks for; dates that a person set ask for something else."""
    if rule_name == "" and rule != INSPECTION_RULE:
        return Task.OTHER
    if rule_name.startswith("remedy_"):
        return Task.REMEDY
    if item_kind == RecheckItem.DEVICE:
        return Task.BUTTON
    is_check = rule_name.startswith("check_") or rule_name == AFTER_SIGN.name
    return Task.CHECK if is_check else Task.INSPECTION


def cited(rule_name: str) -> str:
    """Return where the rule that set a date comes from, with its mark; empty where a person set it."""
    if rule_name == REPORT_RULE_NAME:
        return "as the electrician stated it"
    if rule_name == OCCUPANTS_RULE_NAME:
        return OCCUPANTS_SOURCE
    rule = next((row for row in (*INTERVALS, AFTER_SIGN) if row.name == rule_name), None)
    return rule.cited if rule else ""


def set_dates(home: DatedHome, *, on: date) -> tuple[SetDate, ...]:
    """Return every date that the evidence of a home sets, by the rules in force on a day."""
    found: dict[tuple[RecheckItem, str, date], SetDate] = {}
    for each in _all_dates(home, on):
        moved_to = home.extensions.get((each.item_id, each.due_on))
        if moved_to is not None and each.task is Task.INSPECTION:
            each = _moved(each, moved_to)
        # Of two tasks on one date one row is kept: the electrician's, which the member cannot do.
        found.setdefault((each.item_kind, each.item_id, each.due_on), each)
    return tuple(found.values())


def _all_dates(home: DatedHome, on: date) -> Iterator[SetDate]:
    for outlet in home.outlets:
        own = [record for record in home.inspections if record.outlet_id == outlet.id and record.inspected_on <= on]
        yield from _inspection_of(home, outlet, own, on)
        yield from _remedy_of(home, outlet, own, on)
        yield from _look_at(home, (RecheckItem.OUTLET, outlet.id), IntervalItem.OUTLET_CHECK, outlet.kind, on)
    for lead_id, kind in home.leads.items():
        yield from _look_at(home, (RecheckItem.LEAD, lead_id), IntervalItem.LEAD_CHECK, kind, on)
    for circuit_id in home.circuits:
        yield from _report_on(home, circuit_id, on)
    for device_id, circuit_id in home.devices.items():
        yield from _press(home, device_id, circuit_id, on)


def _inspection_of(
    home: DatedHome, outlet: DatedOutlet, own: list[DatedInspection], on: date
) -> Iterator[SetDate]:
    """Yield the outlet's next inspection: what the report states or a rule asks for, whichever comes first."""
    governing = _governing(own)
    if governing is None:
        return
    item, is_claimed = RecheckItem.OUTLET, not governing.is_counting
    stated = [governing]
    if governing.is_counting:
        # A claim made since never puts the date off.
        stated += [record for record in own if not record.is_counting and record.inspected_on > governing.inspected_on]
    dates = [
        SetDate(
            item, outlet.id, Task.INSPECTION, record.next_due_on, record.inspected_on, INSPECTION_RULE,
            REPORT_RULE_NAME, not record.is_counting,
        )
        for record in stated
    ]
    rules = (
        _rule(home, IntervalItem.HOME_REPORT, on),
        _rule(home, IntervalItem.OUTLET_INSPECTION, on, kind=outlet.kind, nights_a_week=outlet.nights_a_week),
    )
    dates += [
        _by_rule(rule, (item, outlet.id), Task.INSPECTION, governing.inspected_on, is_claimed)
        for rule in rules
        if rule is not None
    ]
    dates += _by_occupants(home, (item, outlet.id), governing)
    yield min(dates, key=lambda each: each.due_on)


def _by_occupants(home: DatedHome, item: Item, newest: DatedInspection) -> Iterator[SetDate]:
    """Yield the day from which other people live there than when it was inspected, one to come included."""
    if home.occupied_since_on is not None and home.occupied_since_on > newest.inspected_on:
        yield SetDate(
            *item, Task.INSPECTION, home.occupied_since_on, newest.inspected_on, OCCUPANTS_RULE, OCCUPANTS_RULE_NAME,
            not newest.is_counting,
        )


def _governing(records: Iterable[DatedInspection]) -> DatedInspection | None:
    """Return the newest that counts; where none does, the newest claim."""
    return max(records, key=lambda record: (record.is_counting, record.inspected_on), default=None)


def _remedy_of(home: DatedHome, outlet: DatedOutlet, own: list[DatedInspection], on: date) -> Iterator[SetDate]:
    rule = _rule(home, IntervalItem.REMEDIAL_WORK, on)
    calling = [record for record in own if record.has_open_stop]
    if rule is not None and calling:
        first = min(calling, key=lambda record: record.inspected_on)
        item = (RecheckItem.OUTLET, outlet.id)
        yield _by_rule(rule, item, Task.REMEDY, first.inspected_on, not first.is_counting)


def _look_at(home: DatedHome, item: Item, asked: IntervalItem, kind: str, on: date) -> Iterator[SetDate]:
    """Yield the next look: by its interval from the last clear one, and earlier after a sign that was lifted."""
    looked_on, lifted_on, dates = home.looked_on.get(item), home.lifted_on.get(item), []
    rule = _rule(home, asked, on, kind=kind)
    if looked_on is not None and rule is not None:
        dates.append(_by_rule(rule, item, Task.CHECK, looked_on, False))
    if lifted_on is not None:
        after = _by_rule(AFTER_SIGN, item, Task.CHECK, lifted_on, False)
        if looked_on is None or looked_on < after.due_on - timedelta(days=EARLY_DAYS):
            dates.append(after)
    if dates:
        yield min(dates, key=lambda each: each.due_on)


def _report_on(home: DatedHome, circuit_id: str, on: date) -> Iterator[SetDate]:
    outlets = {outlet.id for outlet in home.outlets if outlet.circuit_id == circuit_id}
    newest = _governing(
        record for record in home.inspections if record.outlet_id in outlets and record.inspected_on <= on
    )
    rule = _rule(home, IntervalItem.HOME_REPORT, on)
    if newest is not None and rule is not None:
        item = (RecheckItem.CIRCUIT, circuit_id)
        dates = [_by_rule(rule, item, Task.INSPECTION, newest.inspected_on, not newest.is_counting)]
        yield min([*dates, *_by_occupants(home, item, newest)], key=lambda each: each.due_on)


def _press(home: DatedHome, device_id: str, circuit_id: str, on: date) -> Iterator[SetDate]:
    """Yield when a button is pressed next: from the last time, an inspection of its circuit, or the home's entry."""
    outlets = {outlet.id for outlet in home.outlets if outlet.circuit_id == circuit_id}
    tested = [
        record.inspected_on
        for record in home.inspections
        if record.is_counting and record.outlet_id in outlets and record.inspected_on <= on
    ]
    pressed = [home.pressed_on[device_id]] if device_id in home.pressed_on else []
    rule = _rule(home, IntervalItem.RCD_BUTTON, on)
    if rule is not None:
        since_on = max([*tested, *pressed], default=home.opened_on)
        yield _by_rule(rule, (RecheckItem.DEVICE, device_id), Task.BUTTON, since_on, False)


def _rule(
    home: DatedHome, item: IntervalItem, on: date, *, kind: str | None = None, nights_a_week: int | None = None
) -> IntervalRule | None:
    return interval_for(
        item, on=on, kind=kind, tenure=home.tenure, nation=home.nation, nights_a_week=nights_a_week,
        scheme=home.scheme,
    )


def _by_rule(rule: IntervalRule, item: Item, task: Task, since_on: date, is_claimed: bool) -> SetDate:
    usual = next((row for row in (*INTERVALS, AFTER_SIGN) if row.name == rule.name), rule)
    words = rule.words if rule.length == usual.length else f"{rule.words}; in this scheme every {rule.length}"
    return SetDate(*item, task, rule.due_after(since_on), since_on, words, rule.name, is_claimed)


def _moved(date_set: SetDate, to: date) -> SetDate:
    return SetDate(
        date_set.item_kind, date_set.item_id, date_set.task, to, date_set.since_on,
        f"{date_set.rule}; put off once to {to} by a safety officer, with a visit booked",
        date_set.rule_name, date_set.is_claimed,
    )
