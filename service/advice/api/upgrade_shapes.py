"""From verdicts on works to the values that their schemas write: money in micro-pence, years to a hundredth."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from service.advice.domain.upgrade_verdict import Weighed
from service.advice.operations.upgrade_scheme import SchemeUpgrades
from service.advice.operations.upgrades import UpgradeAnswer
from service.common.money import UP_PER_PENNY

HUNDREDTH = Decimal("0.01")


def shown_upgrade(found: UpgradeAnswer) -> dict[str, Any]:
    """Return a home's verdict."""
    return {
        "answer": found.verdict.answer,
        "best": found.verdict.best,
        "headline": found.verdict.words,
        "outlet": found.outlet_label,
        "is_stopped": found.is_stopped,
        "is_as_if_cleared": found.is_as_if,
        "has_second_car": found.has_second_car,
        "as_if": found.as_if,
        "life_years": found.life_years,
        "rate_percent": found.rate_percent,
        "short_wh": None if found.now is None else found.now.short_wh,
        "options": [_option(each) for each in found.weighed],
        "takes": [
            {
                "kind": note.kind,
                "works": note.works,
                "words": note.words,
                "source": note.source,
                "standing": note.standing,
                "working": [step.to_json() for step in note.steps],
            }
            for note in found.takes
        ],
        "notes": found.said,
        "working": [step.to_json() for step in found.steps],
    }


def shown_money(weighed: Weighed) -> dict[str, Any]:
    """Return what a work costs and brings."""
    pay = weighed.pay
    return {
        "work": weighed.work,
        "words": weighed.words,
        "cost_up": _up(weighed.cost.pence),
        "is_quoted": weighed.cost.is_quoted,
        "is_cost_assumed": weighed.cost.is_assumed,
        "saved_up": weighed.yearly.total_up,
        "avoided_wh": weighed.yearly.avoided_wh,
        "payback_years": _years(pay.simple_years if pay else None),
        "discounted_years": _years(pay.discounted_years if pay else None),
        "worth_up": _up(pay.worth_pence if pay else None),
        "pays_back": pay.pays_back if pay else None,
    }


def _option(weighed: Weighed) -> dict[str, Any]:
    pay, yearly = weighed.pay, weighed.yearly
    return {
        **shown_money(weighed),
        "losses_up": yearly.losses_up,
        "hours_up": yearly.hours_up,
        "more_up": yearly.more_up,
        "public_up": yearly.public_up,
        "rates_percent": [(rate * 100).quantize(HUNDREDTH, ROUND_HALF_UP) for rate in pay.rates] if pay else [],
        "most_up": _up(pay.most_pence if pay else None),
        "least_wh": pay.least_wh if pay else None,
        "working": [step.to_json() for step in weighed.steps],
    }


def shown_scheme(found: SchemeUpgrades) -> dict[str, Any]:
    """Return the scheme's list."""
    ranking = found.ranking
    return {
        "budget_pounds": ranking.budget_pounds,
        "spent_pounds": ranking.spent_pounds,
        "avoided_wh": ranking.avoided_wh,
        "worth_up": ranking.worth_pence * UP_PER_PENNY,
        "home_count": found.home_count,
        "reckoned_count": found.reckoned_count,
        "life_years": found.life_years,
        "rate_percent": found.rate_percent,
        "counts": [{"place": place, "household_count": count} for place, count in ranking.counts.items()],
        "items": [
            {
                "rank": row.rank,
                "household_id": row.home.household_id,
                "reference": row.home.reference,
                "clearance": row.home.clearance,
                "place": row.place,
                "is_paid_for": row.is_paid_for,
                "why": row.why,
                "reckoned_at": row.home.reckoned_at,
                "work": None if row.work is None else shown_money(row.work),
            }
            for row in ranking.rows
        ],
        "working": [step.to_json() for step in ranking.steps],
    }


def _up(pence: int | None) -> int | None:
    return None if pence is None else pence * UP_PER_PENNY


def _years(years: Decimal | None) -> Decimal | None:
    return None if years is None else years.quantize(HUNDREDTH, ROUND_HALF_UP)
