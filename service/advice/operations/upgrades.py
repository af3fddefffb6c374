"""Is a faster charging point worth it for a home: worked out when asked, stored nowhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from service.advice.domain.upgrade_notes import HomeFacts, TakesNote, takes_notes
from service.advice.domain.upgrade_quotes import QuoteDetails
from service.advice.domain.upgrade_second_car import OneMoreCar
from service.advice.domain.upgrade_verdict import (
    NO_QUESTION_WORDS,
    Answer,
    Money,
    Verdict,
    Weighed,
    verdict,
    weigh,
)
from service.advice.domain.upgrade_week import WeekFigures
from service.advice.domain.upgrade_works import POINT_LIMIT_A, NoQuestion, Target, Variant
from service.advice.operations.upgrade_plans import ReadHome, plan_works, read_homes
from service.advice.operations.upgrade_quotes import load_quotes
from service.common.working import Step
from service.figures.operations import load_book
from service.households.domain.equipment import (
    SOCKET_SUSTAINED_LIMIT_A,
    Earthing,
    OutletKind,
    Place,
    YesNo,
)
from service.households.domain.home_details import SupplyDetails
from service.households.operations import find_supply, get_household
from service.households.operations.stored import read_details
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.worth import AS_IF
from service.safety.domain.home_demand import ChargingOutlet, HomeDemand, SupplyDoubts, home_demand

STEP_WORDS = {
    Variant.NOW: "The coming week as it is",
    Variant.SOCKET: f"The same week at {SOCKET_SUSTAINED_LIMIT_A} A on a circuit of its own",
    Variant.POINT: f"The same week with a charging point at {POINT_LIMIT_A} A",
}


@dataclass(frozen=True)
class UpgradeAnswer:
    """The verdict for a home with all that stands beside it; without a question only the verdict says anything."""

    verdict: Verdict
    outlet_label: str
    is_as_if: bool
    is_stopped: bool
    has_second_car: bool
    as_if: str
    life_years: int | None
    rate_percent: str
    now: WeekFigures | None
    weighed: tuple[Weighed, ...]
    takes: tuple[TakesNote, ...]
    said: tuple[str, ...]
    steps: tuple[Step, ...]


def get_upgrade(
    session: SchemeSession, household_id: str, second: OneMoreCar | None = None, *, at: datetime
) -> UpgradeAnswer:
    """Return whether works at a home's outlet are worth it; raises ``NotFound`` or ``Rejected``."""
    get_household(session, household_id)
    (read,) = read_homes(session, [household_id], at=at)
    money = Money.of(load_book(session), read.today)
    planned = plan_works(read, second)
    if isinstance(planned, NoQuestion):
        said = Verdict(Answer.NO_QUESTION, None, NO_QUESTION_WORDS[planned])
        rate = f"{money.terms.rate.value.normalize():f}"
        return UpgradeAnswer(said, "", False, False, second is not None, AS_IF, None, rate, None, (), (), (), ())
    quotes: Sequence[QuoteDetails] = load_quotes(session, [household_id]).get(household_id, ())
    weighed = weigh(planned.target.works, planned.weeks, quotes, money)
    now = planned.weeks[Variant.NOW]
    return UpgradeAnswer(
        verdict=verdict(weighed, now, money.terms, is_stopped=planned.is_stopped),
        outlet_label=planned.target.outlet.label,
        is_as_if=planned.is_as_if,
        is_stopped=planned.is_stopped,
        has_second_car=second is not None,
        as_if=AS_IF,
        life_years=money.terms.years,
        rate_percent=f"{money.terms.rate.value.normalize():f}",
        now=now,
        weighed=weighed,
        takes=_takes(session, read, planned.target),
        said=planned.said,
        steps=tuple(week.step(STEP_WORDS[variant]) for variant, week in planned.weeks.items()),
    )


def _takes(session: SchemeSession, read: ReadHome, target: Target) -> tuple[TakesNote, ...]:
    stored = find_supply(session, read.home.id)
    supply = read_details(SupplyDetails, stored) if stored else SupplyDetails()
    outlet = target.outlet
    place = outlet.car_place if outlet.car_place != Place.NOT_KNOWN else outlet.place
    facts = HomeFacts(read.home.nation, Earthing(supply.earthing), Place(place), supply.phases)
    with_point = _demand(read, target, supply, OutletKind.CHARGING_POINT, POINT_LIMIT_A)
    with_socket = None
    if target.is_socket:
        with_socket = _demand(read, target, supply, OutletKind.SOCKET_13A, SOCKET_SUSTAINED_LIMIT_A)
    return takes_notes(target.works, facts, with_point, with_socket)


def _demand(read: ReadHome, target: Target, supply: SupplyDetails, kind: OutletKind, limit_a: int) -> HomeDemand:
    """Return the home's demand with its outlet changed, every other outlet at its limit."""
    outlets = [
        ChargingOutlet(each.label, kind, limit_a)
        if each.id == target.outlet.id
        else ChargingOutlet(each.label, each.kind, each.limit_a)
        for each in read.home.outlets
    ]
    return home_demand(
        supply.loads,
        outlets,
        fuse_a=supply.fuse_a,
        is_looped=YesNo(supply.looped),
        phases=supply.phases,
        doubts=SupplyDoubts(),
    )
