"""Is the lead enough: from a diary, a week's routine and a current to a verdict, with its working.

The years are drawn from a seed of the diary itself, so the same question has the same answer. Whether the socket may be
used at all is another question, which comes first and is not asked here.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

import numpy as np

from service.advice.domain.diary_years import (
    YEAR_DAYS,
    DiaryBlocks,
    Energies,
    LaidOver,
    diary_blocks,
    draw_other_diaries,
    draw_years,
    year_starts_on,
)
from service.advice.domain.lead_closed_form import LongJourney, carried_miles_a_day, long_journey
from service.advice.domain.lead_closers import Closer, Remedies, Years, closers, permille
from service.advice.domain.lead_question import LeadQuestion, NightShown, Verdict, nights_shown, verdict_of
from service.advice.domain.lead_simulation import Nights
from service.advice.domain.lead_steps import carried_step, long_step, nights_step, verdict_step, years_step
from service.advice.domain.lead_sure import Sure, how_sure
from service.common.working import Step, Working
from service.planning.domain.car_week import battery_wh

YEARS: Final = 2000
"""Years simulated for an answer on a screen: own choice, about a tenth of a second with all remedies."""
OTHER_DIARIES: Final = 40
YEARS_OF_EACH: Final = 10


@dataclass(frozen=True)
class LeadAnswer:
    """The verdict with what it rests on; shares are of nights, and of weeks with such a night.

    ``is_battery``: most of what falls short is more than the battery holds, and no current would help.
    """

    verdict: Verdict
    night_permille: int
    week_permille: int
    years: int
    carried_miles: Decimal
    driven_miles: Decimal
    is_battery: bool
    nights: tuple[NightShown, ...]
    long_miles: Decimal
    long_journey: LongJourney
    closers: tuple[Closer, ...]
    sure: Sure
    working: Working

    @property
    def margin_miles(self) -> Decimal:
        """Return how many miles a day more the lead carries than are driven; below 0: fewer."""
        return self.carried_miles - self.driven_miles


def lead_answer(
    asked: LeadQuestion, remedies: Remedies, *, years: int = YEARS, before: Sequence[Step] = ()
) -> LeadAnswer:
    """Return whether the lead is enough, from a diary of at least seven days; ``before`` opens the working."""
    used = asked.used_wh()
    blocks = diary_blocks(used)
    rng = np.random.default_rng(seed_of(used))
    drawn = _years(asked, blocks, draw_years(blocks, years, rng))
    now = drawn.nights()
    others = _years(asked, blocks, draw_other_diaries(blocks, OTHER_DIARIES, YEARS_OF_EACH, rng)).nights()
    shown = nights_shown(asked)
    beyond = sum(used[night.on] > min(asked.gains_wh[night.on.weekday()], asked.usable_wh) for night in shown)
    sure = how_sure(
        len(used), beyond, others.night_shares(OTHER_DIARIES),
        whole_weeks=len(blocks.weeks) if blocks.is_by_weeks else 0,
    )  # fmt: skip
    long_miles = asked.long_miles if asked.long_miles is not None else _furthest(asked)
    usual_wh = sum(used.values()) // len(used)
    long = long_journey(
        battery_wh(long_miles, asked.miles_per_kwh), usual_wh=usual_wh,
        gain_wh=sum(asked.gains_wh) // len(asked.gains_wh), battery=asked.battery,
    )  # fmt: skip
    found = closers(drawn, now, remedies)
    verdict = verdict_of(now.week_share)
    carried = carried_miles_a_day(asked.gains_wh, asked.battery, asked.miles_per_kwh)
    driven = (sum((night.miles for night in shown), Decimal(0)) / len(shown)).quantize(Decimal("0.1"))
    steps = (
        *before,
        nights_step(asked),
        carried_step(asked, carried, driven),
        years_step(asked, blocks, now, len(used)),
        verdict_step(now, verdict),
        long_step(long_miles, long, usual_wh, asked),
        *(each.step for each in found),
        sure.step,
    )
    return LeadAnswer(
        verdict, permille(now.night_share), permille(now.week_share), now.years, carried, driven,
        _is_battery(drawn, now), shown, long_miles, long, found, sure, Working(steps),
    )  # fmt: skip


def seed_of(used_wh: Mapping[date, int]) -> int:
    """Return the seed that a diary's years are drawn from."""
    text = ";".join(f"{day.isoformat()}={wh}" for day, wh in sorted(used_wh.items()))
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")


def _years(asked: LeadQuestion, blocks: DiaryBlocks, used: Energies) -> Years:
    starts_on = year_starts_on(asked.today, blocks.first_weekday)
    laid = tuple(
        LaidOver((each.on - starts_on).days, each.days_away, battery_wh(each.miles, asked.miles_per_kwh),
                 each.replaces_routine)
        for each in asked.journeys
        if 0 <= (each.on - starts_on).days < YEAR_DAYS
    )  # fmt: skip
    return Years(used, asked.gains_wh, blocks.first_weekday, laid, asked.battery)


def _is_battery(years: Years, now: Nights) -> bool:
    return now.night_share > 0 and years.nights_always_full().night_share * 2 > now.night_share


def _furthest(asked: LeadQuestion) -> Decimal:
    """Return the longest journey entered for a date ahead, or else the longest day kept [miles]."""
    planned = [each.miles for each in asked.journeys]
    return max(planned) if planned else max(miles for _, miles in asked.diary)
