"""The verdict on one car's lead at one home: safety first, then what is not known, then whether it is enough.

An outlet or lead that evidence does not clear makes the verdict "not known": the figures are then told as what they
would be if it were cleared, and never as a pass.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Final
from zoneinfo import ZoneInfo

from service.advice.domain.diary_years import FEWEST_DAYS, MOST_DAYS
from service.advice.domain.lead_closers import Remedies
from service.advice.domain.lead_enough import LeadAnswer, lead_answer
from service.advice.domain.lead_nights import WEEKDAYS, battery_gains_wh, plugged_minutes
from service.advice.domain.lead_question import LeadQuestion, PlannedJourney, Verdict
from service.advice.domain.lead_simulation import Battery
from service.common.errors import Fault, Rejected
from service.figures.domain.book import Figure
from service.households.domain.equipment import OutletKind
from service.households.domain.homes import CarInputs, HomeInputs, OutletInputs
from service.planning.domain.car_week import CarWeek, battery_wh
from service.planning.domain.charging import UsableCurrent, default_efficiency, power_w, usable_current
from service.safety.domain.home_pairs import lead_at
from service.safety.domain.sign_reports import has_own_cable

POINT_A: Final = 32
"""A usual charging point on one phase [A]: common practice, no source."""
EARLIER_MIN: Final = 60
LONG_MILES_MAX: Final = 1500
HOME_LIMITS: Final = "recorded limits of this home's equipment"


class Unknown(StrEnum):
    """Why there is no verdict."""

    OUTLET = "outlet"
    NOT_CLEARED = "not_cleared"
    DIARY = "diary"
    ROUTINE = "routine"


@dataclass(frozen=True)
class Asked:
    """What the member asks besides: when the car is plugged in [minutes after midnight], and a journey [miles]."""

    plug_in_min: int | None = None
    long_miles: Decimal | None = None

    def __post_init__(self) -> None:
        if self.long_miles is not None and not 0 < self.long_miles <= LONG_MILES_MAX:
            rule = f"must lie between 1 and {LONG_MILES_MAX} miles"
            raise Rejected(Fault("long_miles", str(self.long_miles), rule))


@dataclass(frozen=True)
class LeadVerdict:
    """The verdict on a car's lead.

    ``first`` says that nothing may be charged yet, and ``next_step`` what to do about it, both "" where evidence clears
    the outlet; ``answer`` is None where it cannot be worked out at all, for the reason
    ``not_known_because``.
    """

    verdict: Verdict
    headline: str
    first: str
    next_step: str
    not_known_because: Unknown | None
    days_kept: int
    cleared_until: datetime | None
    feeds_by: str
    power_w: Decimal | None
    answer: LeadAnswer | None
    assumptions: tuple[str, ...]


def lead_verdict(
    home: HomeInputs, week: CarWeek, asked: Asked, *, today: date, public_price: Figure | None = None
) -> LeadVerdict:
    """Return the verdict on a car of a home; ``week`` is the car as evidence lets it be planned now."""
    car, outlet = week.car, week.outlet
    current = week.usual.current or _as_if_cleared(car, outlet)
    feeds_by = "charging point" if outlet is not None and outlet.kind == OutletKind.CHARGING_POINT else "lead"
    first, next_step = _safety_first(week)
    unknown = _unknown(car, outlet, current, is_stopped=bool(first))
    answer = None
    if unknown in (None, Unknown.NOT_CLEARED) and current is not None:
        answer = _answer(home, car, current, asked, today, public_price)
    is_known = unknown is None and answer is not None
    return LeadVerdict(
        verdict=answer.verdict if is_known and answer else Verdict.NOT_KNOWN,
        headline=_headline(car, feeds_by, first, unknown, answer),
        first=first,
        next_step=next_step,
        not_known_because=unknown,
        days_kept=min(MOST_DAYS, len(car.diary)),
        cleared_until=None if first or week.clearance is None else week.clearance.valid_until,
        feeds_by=feeds_by,
        power_w=None if current is None else power_w(current.limit_a, current.phases),
        answer=answer,
        assumptions=tuple(_assumptions(home, car, asked, feeds_by)) if answer else (),
    )


def _safety_first(week: CarWeek) -> tuple[str, str]:
    """Return why nothing may be charged with this car's lead now, and what to do; empty where it may."""
    outlet, clearance = week.outlet, week.clearance
    if outlet is None or clearance is None:
        return "", ""
    if not clearance.clearance.allows_charging:
        return f"Do not charge at the {outlet.label} yet.", clearance.next_step
    if week.lead is not None and not week.lead.clearance.allows_charging:
        label = week.car.lead.label if week.car.lead else "lead"
        return f"Do not charge with the {label} yet.", week.lead.next_step
    if week.pair is not None and not week.pair.allows_charging:
        return f"Do not charge at the {outlet.label} with this lead as it is set.", week.pair.words
    return "", ""


def _unknown(
    car: CarInputs, outlet: OutletInputs | None, current: UsableCurrent | None, *, is_stopped: bool
) -> Unknown | None:
    if outlet is None or current is None:
        return Unknown.OUTLET
    if len(car.diary) < FEWEST_DAYS:
        return Unknown.DIARY
    if not car.routine:
        return Unknown.ROUTINE
    return Unknown.NOT_CLEARED if is_stopped else None


def _as_if_cleared(car: CarInputs, outlet: OutletInputs | None) -> UsableCurrent | None:
    """Return the current by the recorded limits alone; None where one of them is not known."""
    if outlet is None:
        return None
    limits: dict[str, Decimal | int | None] = {"outlet": outlet.limit_a, "car": car.onboard_limit_a}
    if not has_own_cable(outlet):
        lead = lead_at(car, outlet)
        limits["lead as set"] = lead.set_a if lead else None
    return usable_current(limits, {"outlet": outlet.phases, "car": car.onboard_phases}, source=HOME_LIMITS)


def _answer(
    home: HomeInputs, car: CarInputs, current: UsableCurrent, asked: Asked, today: date, public_price: Figure | None
) -> LeadAnswer:
    power = power_w(current.limit_a, current.phases)
    zone = ZoneInfo(home.zone)
    question = LeadQuestion(
        diary=car.diary,
        minutes=plugged_minutes(car.routine, plug_in_min=asked.plug_in_min, quiet_min=home.evening.quiet_min),
        power_w=power,
        efficiency_permille=default_efficiency(power, today).permille,
        miles_per_kwh=car.miles_per_kwh,
        battery=Battery(
            car.battery_wh,
            car.battery_wh * car.ceiling_percent // 100,
            -(-car.battery_wh * car.reserve_percent // 100),
        ),
        today=today,
        shared_by=_cars_at(home, car.outlet_id),
        journeys=tuple(
            PlannedJourney(
                line.leaves_at.astimezone(zone).date(),
                (line.returns_at.astimezone(zone).date() - line.leaves_at.astimezone(zone).date()).days,
                line.miles,
                line.replaces_routine,
            )
            for line in car.journeys
        ),
        long_miles=asked.long_miles,
        standby_w=car.standby_w,
    )
    return lead_answer(question, _remedies(home, car, question, asked, current, public_price), before=(current.step,))


def _remedies(
    home: HomeInputs,
    car: CarInputs,
    question: LeadQuestion,
    asked: Asked,
    current: UsableCurrent,
    public_price: Figure | None,
) -> Remedies:
    quiet = home.evening.quiet_min
    if asked.plug_in_min is not None:
        earlier, words = plugged_minutes(car.routine, quiet_min=quiet), "Plug in as soon as it is back"
    else:
        earlier = plugged_minutes(car.routine, quiet_min=quiet, back_earlier_min=EARLIER_MIN)
        words = "Be back and plugged in an hour earlier each day"
    other = _other_car(home, car)
    point_a = min(POINT_A, car.onboard_limit_a)
    point_w = power_w(point_a)
    # A car on three phases, or a point as fast already, gains nothing from a usual point.
    is_faster = point_w > power_w(current.limit_a, current.phases)
    return Remedies(
        earlier_words=words,
        earlier_gains_wh=battery_gains_wh(
            earlier, question.power_w, question.efficiency_permille, shared_by=question.shared_by
        ),
        other_car_label=other[0] if other else "",
        other_car_wh=other[1] if other else None,
        public_price=public_price.value if public_price else None,
        public_price_source=public_price.where_from if public_price else "",
        point_words=f"A charging point at {point_a} A, {point_w / 1000:g} kW",
        point_gains_wh=battery_gains_wh(
            question.minutes, point_w, default_efficiency(point_w, question.today).permille,
            shared_by=question.shared_by,
        ) if is_faster else None,
    )  # fmt: skip


def _other_car(home: HomeInputs, car: CarInputs) -> tuple[str, int] | None:
    """Return another car that could take this one's longest day, and its usual day by this car's consumption [Wh]."""
    furthest = max(miles for _, miles in car.diary)
    for other in home.cars:
        usable_wh = other.battery_wh * (other.ceiling_percent - other.reserve_percent) // 100
        usual = _usual_miles(other)
        if other.id != car.id and usual is not None and battery_wh(furthest, other.miles_per_kwh) <= usable_wh:
            return other.label, battery_wh(usual, car.miles_per_kwh)
    return None


def _usual_miles(car: CarInputs) -> Decimal | None:
    if len(car.diary) >= FEWEST_DAYS:
        return sum((miles for _, miles in car.diary), Decimal(0)) / len(car.diary)
    return sum((line.miles for line in car.routine), Decimal(0)) / WEEKDAYS if car.routine else None


def _cars_at(home: HomeInputs, outlet_id: str | None) -> int:
    return max(1, sum(each.outlet_id == outlet_id for each in home.cars))


_UNKNOWN_WORDS: Final[Mapping[Unknown, str]] = {
    Unknown.OUTLET: "Not known: where and with what current the {car} charges is not recorded.",
    Unknown.ROUTINE: "Not known yet: enter when the {car} leaves and comes back in a usual week.",
}


def _headline(car: CarInputs, feeds_by: str, first: str, unknown: Unknown | None, answer: LeadAnswer | None) -> str:
    if unknown is Unknown.DIARY:
        more = FEWEST_DAYS - len(car.diary)
        days = "day" if more == 1 else "days"
        told = f"Not known yet: {more} more {days} of diary are needed." if more > 1 else (
            "Not known yet: one more day of diary is needed."
        )  # fmt: skip
    elif answer is None:
        told = _UNKNOWN_WORDS[unknown or Unknown.OUTLET].format(car=car.label)
    elif first:
        told = f"If it were cleared, {_answer_words(car, feeds_by, answer.verdict, 'would be')}."
    else:
        told = f"{_capital(_answer_words(car, feeds_by, answer.verdict, 'is'))}."
    if answer is not None and answer.is_battery and answer.verdict is not Verdict.ENOUGH:
        told += f" Mostly it is the battery that is too small for the day, not the {feeds_by}."
    return f"{first} {told}".strip()


def _answer_words(car: CarInputs, feeds_by: str, verdict: Verdict, be: str) -> str:
    return f"the {feeds_by} {be} {verdict.words} for the {car.label}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _assumptions(home: HomeInputs, car: CarInputs, asked: Asked, feeds_by: str) -> list[str]:
    found = [
        f"The outlet stays cleared and the {feeds_by} stays as it is set: this says nothing of safety.",
        "The car is plugged in every night, from the time given here until it leaves."
        if asked.plug_in_min is not None
        else "The car is plugged in every night, from when it is back until it leaves, by the week's routine.",
        "Miles per kWh stay as recorded; in cold weather a mile takes more.",
    ]
    if home.evening.quiet_min is not None:
        found.append("Nothing charges in the home's quiet hours.")
    cars = _cars_at(home, car.outlet_id)
    if cars > 1:
        found.append(f"The {cars} cars that use this outlet share its time evenly.")
    if car.taper_from_percent is not None:
        found.append("That this car draws less when nearly full is left out.")
    return found
