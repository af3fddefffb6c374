"""The working behind the verdict on a lead: each step as it is told."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Final

from service.advice.domain.diary_years import YEAR_DAYS, DiaryBlocks
from service.advice.domain.lead_closed_form import LongJourney
from service.advice.domain.lead_closers import permille
from service.advice.domain.lead_question import ENOUGH_PERMILLE, MOST_WEEKS_PERMILLE, LeadQuestion, Verdict
from service.advice.domain.lead_simulation import Nights
from service.common.working import Step
from service.planning.domain.charging import PERMILLE

OWN_CHOICE: Final = "rule of this service, own choice"


def nights_step(asked: LeadQuestion) -> Step:
    """Return the step on what a night gives."""
    hours = _span([Decimal(each) / 60 for each in asked.minutes], "h")
    gains = _span([Decimal(each) / 1000 for each in asked.gains_wh], "kWh")
    inputs = {
        "plugged in before a day": hours,
        "power": f"{asked.power_w / 1000:f} kW",
        "efficiency": f"{asked.efficiency_permille / PERMILLE:g}",
    }
    if asked.shared_by > 1:
        inputs["cars at this outlet"] = str(asked.shared_by)
    if asked.standby_w:
        inputs["standby draw, added to each day"] = f"{asked.standby_w} W"
    return Step(
        "What a night gives",
        inputs,
        "from coming back to leaving by the week's routine; hours x power x efficiency"
        + ("; cars at one outlet share its time evenly" if asked.shared_by > 1 else ""),
        "rule of this service; efficiency as the plan takes it",
        f"{gains} into the battery",
    )


def carried_step(asked: LeadQuestion, carried: Decimal, driven: Decimal) -> Step:
    """Return the step on the miles a day that the lead can carry."""
    return Step(
        "Miles a day the lead can carry",
        {"miles per kWh": str(asked.miles_per_kwh), "driven a day, as kept": f"{driven} miles"},
        "the week's nights, none more than lies between reserve and ceiling, times miles per kWh, over seven days",
        "closed form, no simulation",
        f"{carried} miles a day: {abs(carried - driven)} {'more' if carried >= driven else 'fewer'} than are driven",
    )


def years_step(asked: LeadQuestion, blocks: DiaryBlocks, now: Nights, days: int) -> Step:
    """Return the step on the years that were simulated."""
    drawn = f"{len(blocks.weeks)} whole weeks" if blocks.is_by_weeks else "days, weekdays apart from weekends"
    return Step(
        "Years of driving like this",
        {
            "days kept": str(days),
            "drawn from": drawn,
            "journeys ahead": str(len(asked.journeys)),
            "years": str(now.years),
            "days a year": str(YEAR_DAYS),
            "battery": f"{asked.battery.full_wh / 1000:g} kWh",
            "filled to": f"{asked.battery.ceiling_wh / 1000:g} kWh",
            "kept back": f"{asked.battery.reserve_wh / 1000:g} kWh",
        },
        "drawn with replacement, by a seed of the diary; each night charges up to the ceiling, each day is taken off; "
        "what would go below the reserve is missing and charged elsewhere; each year starts at the ceiling",
        OWN_CHOICE,
        f"{permille(now.night_share) / 10:g} % of nights and {permille(now.week_share) / 10:g} % of weeks fall short",
    )


def verdict_step(now: Nights, verdict: Verdict) -> Step:
    """Return the step on the verdict by its bounds."""
    return Step(
        "The verdict",
        {"weeks with a night that falls short": f"{permille(now.week_share) / 10:g} %"},
        f"enough: at most {ENOUGH_PERMILLE / 10:g} % of weeks; enough most weeks: at most "
        f"{MOST_WEEKS_PERMILLE / 10:g} %",
        OWN_CHOICE,
        verdict.words,
    )


def long_step(miles: Decimal, long: LongJourney, usual_wh: int, asked: LeadQuestion) -> Step:
    """Return the step on a long journey."""
    return Step(
        "A long journey",
        {
            "miles": f"{miles.normalize():f}",
            "it takes": f"{long.used_wh / 1000:.1f} kWh",
            "a usual day takes": f"{usual_wh / 1000:.1f} kWh",
            "kept back": f"{asked.battery.reserve_wh / 1000:g} kWh",
        },
        "each night wins what it gives beyond a usual day; nights until the battery holds the journey and the reserve",
        "closed form, no simulation",
        long_words(long),
    )


def long_words(long: LongJourney) -> str:
    """Return what a long journey needs as a sentence."""
    elsewhere = f"{Decimal(long.elsewhere_wh) / 1000:.1f} kWh has to be charged on the way"
    if long.nights_to_fill is None:
        if not long.elsewhere_wh:
            return "The nights do not keep up with usual days, but it can be driven."
        return f"No number of nights fills it for this: about {elsewhere}."
    if long.nights_to_fill == 0:
        start = "The usual night is enough"
    else:
        nights = "1 night" if long.nights_to_fill == 1 else f"{long.nights_to_fill} nights"
        start = f"Fill past the ceiling from {nights} before"
    if long.elsewhere_wh:
        return f"{start}, and about {elsewhere}."
    return f"{start}; nothing has to be charged on the way."


def _span(values: Sequence[Decimal], unit: str) -> str:
    low, high = min(values), max(values)
    return f"{low:.1f} {unit}" if f"{low:.1f}" == f"{high:.1f}" else f"{low:.1f} to {high:.1f} {unit}"
