"""How long evidence of each kind holds, and when each kind of report falls due again: dated rows with their source.

Data, not code: the row in force for a kind of item, a tenure and a nation on a day decides. A scheme may shorten a
row and never lengthen it. What is common practice or from memory says so; a person has to confirm it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import Final

from service.common.calendar import Nation
from service.common.errors import Fault
from service.households.domain.equipment import LeadKind, OutletKind, Tenure
from service.households.domain.ranges import refuse
from service.safety.domain.arithmetic.editions import Mark
from service.safety.domain.due_dates import months_after

REGULAR_NIGHTS: Final = 3
"""More nights a week than this on a 13 A socket bring the electrician yearly: common practice."""


class IntervalItem(StrEnum):
    """What falls due again."""

    OUTLET_CHECK = "outlet_check"  # the member's check of an outlet
    LEAD_CHECK = "lead_check"  # the member's check of a lead
    OUTLET_INSPECTION = "outlet_inspection"  # an electrician's, of an outlet
    HOME_REPORT = "home_report"  # the report on the home's wiring
    RCD_BUTTON = "rcd_button"  # pressing the test button
    REMEDIAL_WORK = "remedial_work"  # what a report found, in a rented home


@dataclass(frozen=True, slots=True)
class IntervalRule:
    """One row, in force from ``from_on``; kind, tenure and nation are None where the row holds for all.

    ``min_nights``: the row holds only where more nights a week than that are charged on it. ``name`` is stored with
    what the rule sets. Exactly one of ``months`` and ``days`` is given: 28 days are days, not a month.
    """

    name: str
    item: IntervalItem
    words: str
    source: str
    mark: Mark
    from_on: date
    months: int | None = None
    days: int | None = None
    kind: str | None = None
    tenure: Tenure | None = None
    nation: Nation | None = None
    min_nights: int | None = None

    def __post_init__(self) -> None:
        refuse(self._faults())

    def _faults(self) -> Iterator[Fault]:
        if (self.months is None) == (self.days is None):
            yield Fault("months", self.months, "exactly one of months and days must be given")
        elif (self.months or self.days or 0) < 1:
            yield Fault("months" if self.days is None else "days", self.months or self.days, "must be at least 1")

    def due_after(self, day: date) -> date:
        """Return when it falls due again after a day; a month that is too short takes its last day."""
        return months_after(day, self.months) if self.months is not None else day + timedelta(days=self.days or 0)

    @property
    def length(self) -> str:
        """Say how long it is."""
        count, unit = (self.months, "month") if self.months is not None else (self.days, "day")
        return f"{count} {unit}" + ("" if count == 1 else "s")

    @property
    def cited(self) -> str:
        """Say where it comes from."""
        if self.source:
            return f"{self.source} ({self.mark.value})"
        return "from memory, to be checked" if self.mark is Mark.FROM_MEMORY else "common practice, no source"


@dataclass(frozen=True, slots=True)
class SchemeInterval:
    """A scheme's own figure for a rule, from a day on; None where it gives none of that unit."""

    rule_name: str
    from_on: date
    months: int | None = None
    days: int | None = None


_P, _M, _CP = Mark.PUBLISHED, Mark.FROM_MEMORY, Mark.COMMON_PRACTICE
_EVER: Final = date(2008, 1, 1)  # before any evidence here; the pages give no start
_GN3: Final = "GN3 Table 3.2 as quoted in guides to periodic inspection"
_SOCKET, _POINT = OutletKind.SOCKET_13A.value, OutletKind.CHARGING_POINT.value
_CHECK, _LEAD, _INSPECT = IntervalItem.OUTLET_CHECK, IntervalItem.LEAD_CHECK, IntervalItem.OUTLET_INSPECTION
_REPORT, _BUTTON, _REMEDY = IntervalItem.HOME_REPORT, IntervalItem.RCD_BUTTON, IntervalItem.REMEDIAL_WORK

# name, item, words a member reads, source, mark, in force from
INTERVALS: Final = (
    IntervalRule("check_socket", _CHECK, "a 13 A socket that a car charges from is checked every month", "", _CP,
                 _EVER, months=1, kind=_SOCKET),
    IntervalRule("check_point", _CHECK, "a charging point is looked at every year", "", _CP,
                 _EVER, months=12, kind=_POINT),
    IntervalRule("check_mode_2", _LEAD, "a portable lead is checked every month", "", _CP,
                 _EVER, months=1, kind=LeadKind.MODE_2.value),
    IntervalRule("check_mode_3", _LEAD, "the cable of a charging point is looked at every year", "", _CP,
                 _EVER, months=12, kind=LeadKind.MODE_3_CABLE.value),
    IntervalRule("inspect_regular_socket", _INSPECT,
                 "a 13 A socket that a car charges from on more than three nights a week is inspected yearly", "", _CP,
                 _EVER, months=12, kind=_SOCKET, min_nights=REGULAR_NIGHTS),
    IntervalRule("report_owner", _REPORT, "an owner's home is inspected at least every ten years", _GN3, _P,
                 _EVER, months=120, tenure=Tenure.OWNER),
    IntervalRule("report_rented", _REPORT, "a rented home is inspected at least every five years",
                 "a contractor's page on periodic inspection", _P, _EVER, months=60, tenure=Tenure.PRIVATE_RENTED),
    IntervalRule("report_private_england", _REPORT,
                 "a privately rented home in England is inspected at least every five years", "SI 2020/312", _P,
                 date(2020, 7, 1), months=60, tenure=Tenure.PRIVATE_RENTED, nation=Nation.ENGLAND),
    IntervalRule("report_social", _REPORT, "a rented home is inspected at least every five years",
                 "a contractor's page on periodic inspection", _P, _EVER, months=60, tenure=Tenure.SOCIAL_RENTED),
    IntervalRule("report_social_england", _REPORT,
                 "a socially rented home in England is inspected at least every five years",
                 "law firms' notes on the 2025 extension of SI 2020/312", _P, date(2025, 11, 1), months=60,
                 tenure=Tenure.SOCIAL_RENTED, nation=Nation.ENGLAND),
    IntervalRule("report_rented_scotland", _REPORT,
                 "a privately rented home in Scotland is inspected at least every five years", "", _M, _EVER,
                 months=60, tenure=Tenure.PRIVATE_RENTED, nation=Nation.SCOTLAND),
    IntervalRule("report_rented_wales", _REPORT,
                 "a privately rented home in Wales is inspected at least every five years", "", _M,
                 date(2022, 12, 1), months=60, tenure=Tenure.PRIVATE_RENTED, nation=Nation.WALES),
    # Nobody said who owns it: the shorter of the two holds.
    IntervalRule("report_not_known", _REPORT, "a home of tenure not known is taken as rented: every five years", "",
                 _CP, _EVER, months=60, tenure=Tenure.NOT_KNOWN),
    IntervalRule("rcd_button", _BUTTON, "the RCD's test button is pressed every six months",
                 "BS 7671 514.12.2 as quoted by a training centre", _P, _EVER, months=6),
    IntervalRule("remedy_private_england", _REMEDY,
                 "work that a report calls for in a privately rented home in England is done within 28 days",
                 "SI 2020/312", _P, date(2020, 7, 1), days=28, tenure=Tenure.PRIVATE_RENTED, nation=Nation.ENGLAND),
)  # fmt: skip


@lru_cache(maxsize=1024)
def interval_for(
    item: IntervalItem,
    *,
    on: date,
    kind: str | None = None,
    tenure: str | None = None,
    nation: str | None = None,
    nights_a_week: int | None = None,
    scheme: tuple[SchemeInterval, ...] = (),
) -> IntervalRule | None:
    """Return the rule in force on a day, as the scheme tightened it; None where no row speaks to it.

    Of rows that all speak to it, one for this nation goes before one for all, and the later one before the earlier.
    """
    asked = {"kind": kind, "tenure": tenure, "nation": nation}
    held = [
        rule
        for rule in INTERVALS
        if rule.item is item
        and rule.from_on <= on
        and all(getattr(rule, name) in (None, value) for name, value in asked.items())
        and (rule.min_nights is None or (nights_a_week is not None and nights_a_week > rule.min_nights))
    ]
    if not held:
        return None
    chosen = max(held, key=lambda rule: (rule.nation is not None, rule.tenure is not None, rule.from_on))
    own = [each for each in scheme if each.rule_name == chosen.name and each.from_on <= on]
    return tightened(chosen, max(own, key=lambda each: each.from_on)) if own else chosen


def tightened(rule: IntervalRule, scheme_rule: SchemeInterval) -> IntervalRule:
    """Return the rule with the scheme's figure if that is surely shorter, else the rule unchanged."""
    if scheme_rule.months is None and scheme_rule.days is None:
        return rule
    own = replace(
        rule,
        months=scheme_rule.months,
        days=None if scheme_rule.months is not None else scheme_rule.days,
        source=f"the scheme's own rule from {scheme_rule.from_on}, shorter than {rule.length}",
    )
    return own if _is_shorter(own, rule) else rule


def _is_shorter(own: IntervalRule, rule: IntervalRule) -> bool:
    """Tell whether it is shorter from whichever day it is counted: a month has 28 to 31 days."""
    if own.months is not None and rule.months is not None:
        return own.months < rule.months
    return _longest_days(own) < _shortest_days(rule)


def _longest_days(rule: IntervalRule) -> int:
    return rule.days if rule.days is not None else (rule.months or 0) * 31


def _shortest_days(rule: IntervalRule) -> int:
    return rule.days if rule.days is not None else (rule.months or 0) * 28
