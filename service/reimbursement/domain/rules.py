"""How the scheme pays: dated rules that are appended and never edited."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from service.common.errors import Fault, Rejected
from service.households.domain.ranges import in_range, known_word, refuse
from service.reimbursement.domain.kinds import CompanyMethod
from service.reimbursement.domain.months import Month

CAP_MAX_PENCE = 10_000_000
CLAIM_DAYS_MAX = 1000
"""Own bounds: beyond them a figure is a typing error."""


@dataclass(frozen=True)
class SchemeRule:
    """From a day on: how company cars are paid, the most that a member's month brings, and until when to claim.

    ``monthly_cap_pence`` None means no cap; ``claim_within_days`` counts from the end of the month, None: no limit.
    """

    from_on: date
    company_method: str
    monthly_cap_pence: int | None = None
    claim_within_days: int | None = None

    def __post_init__(self) -> None:
        cap, days = self.monthly_cap_pence, self.claim_within_days
        refuse(
            known_word("company_method", self.company_method, CompanyMethod),
            () if cap is None else in_range("monthly_cap_pence", cap, 1, CAP_MAX_PENCE, "pence"),
            () if days is None else in_range("claim_within_days", days, 1, CLAIM_DAYS_MAX, "days"),
        )


def rule_on(rules: Sequence[SchemeRule], on: date) -> SchemeRule | None:
    """Return the rule in force on a day, of two from one day the later in the sequence; None where none is yet."""
    begun = [(rule.from_on, place) for place, rule in enumerate(rules) if rule.from_on <= on]
    return rules[max(begun)[1]] if begun else None


def rule_of(rules: Sequence[SchemeRule], month: Month) -> SchemeRule | None:
    """Return the rule whose cap and time hold for a month: that of its first day, else the first that begins in it."""
    found = rule_on(rules, month.first_on)
    begins_on = min((rule.from_on for rule in rules if month.holds(rule.from_on)), default=None)
    return rule_on(rules, begins_on) if found is None and begins_on is not None else found


def check_in_time(rules: Sequence[SchemeRule], month: Month, *, today: date) -> None:
    """Refuse a claim that comes later than the scheme's rule of that month allows; raises ``Rejected``."""
    rule = rule_of(rules, month)
    if rule is None or rule.claim_within_days is None:
        return
    last_on = month.end_on - timedelta(days=1) + timedelta(days=rule.claim_within_days)
    if today > last_on:
        told = f"could be claimed until {last_on.isoformat()}, {rule.claim_within_days} days after the month's end"
        raise Rejected(Fault("month", str(month), told))
