"""Tariffs compared for one home: read once, its week planned under each, a year of it priced; stored nowhere."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np

from service.advice.domain.bill import YEAR_DAYS
from service.advice.domain.house_use import HouseUse
from service.advice.domain.petrol import PetrolAsked, PetrolMile, petrol_mile
from service.advice.domain.settled_week import settled, whole_week_slot
from service.advice.domain.tariff_comparison import Candidate, LeftOut, Ranking, rank
from service.advice.domain.tariff_eligibility import Applicant, LeavingCost, leaving_cost, questions, reasons_against
from service.advice.domain.tariff_years import CarWeekUse, as_estimate, car_use, tariff_year
from service.advice.operations.house_use import read_house_use
from service.advice.operations.upgrade_plans import NO_DATED, without_dated
from service.common.calendar import Nation
from service.common.errors import Rejected
from service.common.slots import SLOTS_PER_PLAIN_DAY, local_day_slots, slot_start, walls_of
from service.figures.operations import load_book
from service.households.domain.equipment import OutletKind
from service.households.domain.homes import ContractInputs, HomeInputs
from service.households.models import Household
from service.households.operations import ContractView, get_household, list_contracts, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.car_week import PlannedBefore
from service.planning.domain.home_week import HomeWeek, home_week
from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.price_book import PriceBook
from service.planning.domain.side_by_side import started_alike
from service.planning.domain.state_of_charge import READING_LASTS_SLOTS
from service.planning.domain.week import plan_household
from service.planning.domain.what_if import Changes, OtherTariff, changed_home
from service.planning.operations.gather import load_in_force
from service.planning.operations.runs import next_slot
from service.safety.operations import HomeClearance, load_for_planning
from service.tariffs.domain.priced_days import PricedDays, price_days
from service.tariffs.domain.rate_bands import Window
from service.tariffs.domain.taking import TakingTerms
from service.tariffs.domain.terms import Contract, Series, TariffClock, TariffKind, TariffTerms
from service.tariffs.operations import list_taking, load_terms

HISTORY_DAYS = 91
"""Own choice: half-hourly prices of the last quarter stand for a year to come."""
LEAST_PRICE_DAYS = 28
"""Own choice: with fewer days of half-hourly prices a year is not known."""
SHORT = "a week cannot be charged at home under any of these tariffs: it is in no bill."


@dataclass(frozen=True, eq=False)
class Comparison:
    """The ranking and what it rests on; the year is [starts_on, ends_on)."""

    starts_on: date
    ends_on: date
    household: Household
    present: ContractView | None
    use: HouseUse
    car_week: CarWeekUse
    ranking: Ranking
    leaving: LeavingCost
    petrol: PetrolMile
    notes: tuple[str, ...]


def compare_tariffs(
    session: SchemeSession, household_id: str, asked: PetrolAsked, *, at: datetime
) -> Comparison:
    """Return the scheme's tariffs ranked for a home as things stand now; raises ``NotFound``, ``FigureNotKnown``."""
    household = get_household(session, household_id)
    reader = _Reader.of(session, household, at)
    book = load_book(session)
    use = read_house_use(
        session, household, book, reader.today, planned_week_wh=int(reader.usual_week.energy_wh.sum())
    )
    present = _running(list_contracts(session, household_id), reader.today)
    candidates: list[Candidate] = []
    left_out: list[LeftOut] = []
    for tariff_id, name, terms in reader.tariffs:
        applicant = reader.applicant(tariff_id)
        found = reader.priced(tariff_id, name, use)
        against = (*reasons_against(terms, applicant), *(found if isinstance(found, tuple) else ()))
        if against or isinstance(found, tuple):
            left_out.append(LeftOut(tariff_id, name, against))
        else:
            candidates.append(replace(found, questions=questions(terms, applicant)))
    leaving = LeavingCost(0, "The home has no contract to leave.")
    if present is not None:
        leaving = leaving_cost(present.fixed_until_on, present.exit_fee_pence, on=reader.today)
    return Comparison(
        reader.today,
        reader.end_on,
        household,
        present,
        use,
        reader.usual_week,
        rank(candidates, left_out, use, leaving),
        leaving,
        petrol_mile(asked, book, reader.today),
        (*_notes(present, reader.usual_week), *([NO_DATED] if reader.has_dated else [])),
    )


def _running(contracts: Sequence[ContractView], today: date) -> ContractView | None:
    running = (each for each in contracts if each.starts_on <= today and (each.ends_on is None or each.ends_on > today))
    return next(running, None)


def _notes(present: ContractView | None, week: CarWeekUse) -> Iterator[str]:
    if present is None:
        yield "No contract is recorded for today: nothing is compared with what the home pays now."
    elif present.ends_on is not None:
        yield f"The present contract ends on {present.ends_on}; its tariff is ranked as if it went on."
    if week.short_wh:
        yield f"{week.short_wh / 1000:g} kWh {SHORT}"
    if not len(week.at):
        yield "Nothing is charged at home in the coming week as planned: the year is the house's alone."
    yield "The cars' part is a week of their routine that begins as full as it ends, under each tariff, times 52."


@dataclass(frozen=True, eq=False)
class _Reader:
    """A home as it was read once, to be planned and priced under each tariff of the scheme."""

    home: HomeInputs
    household: Household
    cleared: HomeClearance
    before: Mapping[str, PlannedBefore]
    terms: Mapping[str, TariffTerms]
    tariffs: tuple[tuple[str, str, TakingTerms], ...]
    book: PriceBook
    as_of_slot: int
    zone: ZoneInfo
    today: date
    has_dated: bool

    @classmethod
    def of(cls, session: SchemeSession, household: Household, at: datetime) -> _Reader:
        """Read the home and every tariff's terms."""
        slot, zone = next_slot(at), ZoneInfo(household.zone)
        today = slot_start(slot).astimezone(zone).date()
        week_slot = whole_week_slot(slot, zone)
        (home,) = load_homes(session, [household.id], from_at=slot_start(slot - READING_LASTS_SLOTS))
        in_force = load_in_force(session, [household.id]).get(household.id)
        tariffs = tuple(list_taking(session))
        first = local_day_slots(today - timedelta(days=HISTORY_DAYS), zone).start
        count = (HISTORY_DAYS + 10) * SLOTS_PER_PLAIN_DAY
        ids = [tariff_id for tariff_id, _, _ in tariffs]
        found = load_terms(session, ids, first_slot=first, count=count)
        terms = {tariff_id: _until(each, week_slot) for tariff_id, each in found.items()}
        return cls(
            without_dated(home), household, _lasting(load_for_planning(session, [home], at=slot_start(slot))[home.id]),
            in_force.by_vehicle() if in_force else {}, terms, tariffs, PriceBook(terms, week_slot), week_slot, zone,
            today, any(car.journeys for car in home.cars),
        )  # fmt: skip

    @property
    def end_on(self) -> date:
        """Return the first day after the year."""
        return self.today + timedelta(days=YEAR_DAYS)

    @cached_property
    def usual_week(self) -> CarWeekUse:
        """Return what the cars take in the coming week as things are."""
        return self._car_week(self.home)

    def applicant(self, tariff_id: str) -> Applicant:
        """Return what of the home decides whether it can take a tariff."""
        contract = self._contract()
        return Applicant(
            self.household.meter_kind,
            any(outlet.kind == OutletKind.CHARGING_POINT for outlet in self.home.outlets),
            is_on_it=contract is not None and contract.tariff_id == tariff_id,
        )

    def priced(self, tariff_id: str, name: str, use: HouseUse) -> Candidate | tuple[str, ...]:
        """Return the home's year under a tariff, or why its prices are not known."""
        terms, contract = self.terms[tariff_id], self._contract()
        is_present = contract is not None and contract.tariff_id == tariff_id
        days = price_days(
            terms, self._pricing(contract if is_present else None), self.today, self.end_on,
            zone=self.zone, nation=Nation(self.home.nation),
        )  # fmt: skip
        is_estimate = terms.kind is TariffKind.HALF_HOURLY
        if is_estimate:
            reasons = _too_few_prices(terms, self.home.region, self.zone, days)
            if reasons:
                return reasons
            days = as_estimate(days)
        try:
            week = self._car_week(self._home_under(tariff_id, contract if is_present else None))
            year = tariff_year(days, use, week, name=name, is_estimate=is_estimate)
        except Rejected as error:
            return tuple(dict.fromkeys(_reason_words(fault.rule) for fault in error.faults))
        return Candidate(tariff_id, name, year, is_present, is_estimate)

    def _contract(self) -> ContractInputs | None:
        running = (
            each for each in self.home.contracts
            if each.starts_on <= self.today and (each.ends_on is None or each.ends_on > self.today)
        )  # fmt: skip
        return next(running, None)

    def _pricing(self, present: ContractInputs | None) -> Contract:
        """Return the contract to price by: the present one as if it went on, or a new one from today on."""
        if present is None:
            return Contract(self.today, region=self.home.region, payment=self.home.payment)
        windows = {
            band: tuple(Window(first, end) for first, end in spans) for band, spans in present.windows.items()
        }
        clock = TariffClock(present.clock) if present.clock else None
        return Contract(present.starts_on, None, clock, windows, self.home.region, self.home.payment)

    def _home_under(self, tariff_id: str, present: ContractInputs | None) -> HomeInputs:
        if present is not None:
            return replace(self.home, contracts=(replace(present, ends_on=None),))
        return changed_home(self.home, Changes(tariff=OtherTariff(tariff_id)), from_on=self.today)

    def _car_week(self, home: HomeInputs) -> CarWeekUse:
        week = self._week(home)
        solved = started_alike(week.week, self._usual)
        return car_use(plan_household(solved), replace(week, week=solved), local_day_slots(self.today, self.zone).start)

    @cached_property
    def _usual(self) -> HouseholdWeek:
        return settled(self._week(self.home).week)

    def _week(self, home: HomeInputs) -> HomeWeek:
        return home_week(
            home, self.book.for_home(home, self.zone), self.cleared.outlets, self.before, as_of_slot=self.as_of_slot,
            zone=self.zone, leads=self.cleared.leads,
        )  # fmt: skip


def _until(terms: TariffTerms, end_slot: int) -> TariffTerms:
    """Return terms without half-hourly prices of the days ahead: means stand for a year, one odd day does not."""
    series = {}
    for region, each in terms.series.items():
        known = zip(each.slots.tolist(), each.price_up.tolist(), strict=True)
        series[region] = Series({slot: price_up for slot, price_up in known if slot < end_slot})
    return replace(terms, series=series)


def _lasting(cleared: HomeClearance) -> HomeClearance:
    """Return clearances with no end in sight: evidence that ends in this week is renewed, or no year is like it."""
    return HomeClearance(
        tuple(replace(each, valid_until=None) for each in cleared.outlets),
        tuple(replace(each, valid_until=None) for each in cleared.leads),
    )


def _too_few_prices(terms: TariffTerms, region: str | None, zone: ZoneInfo, days: PricedDays) -> tuple[str, ...]:
    """Return why half-hourly prices known so far cannot stand for a year; nothing where they can."""
    series = terms.series.get(region or "", terms.series.get(""))
    slots = np.array(list(series), dtype=np.int64) if series else np.zeros(0, dtype=np.int64)
    known_days = len(slots) // SLOTS_PER_PLAIN_DAY
    half_hours = np.unique(walls_of(slots, zone) % SLOTS_PER_PLAIN_DAY)
    if known_days < LEAST_PRICE_DAYS or len(half_hours) < SLOTS_PER_PLAIN_DAY:
        return (
            f"Its half-hourly prices are known for {known_days} of the last {HISTORY_DAYS} days: at least "
            f"{LEAST_PRICE_DAYS} are needed to stand for a year.",
        )
    if not days.is_standing_known.all():
        return ("Its standing charge is not known for this home's region and payment method.",)
    return ()


def _reason_words(rule: str) -> str:
    """Return a reason without the period it is for, as a sentence."""
    reason = rule.split(": ", 1)[-1]
    return f"Its prices are not known: {reason}."
