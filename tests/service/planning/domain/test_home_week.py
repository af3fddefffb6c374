"""A home becomes a week to plan: nothing that matters is left out of its terms, and no charge is invented."""

from dataclasses import fields, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.common.slots import slot_index
from service.common.working import Step, Working
from service.households.domain.homes import CarInputs, HomeInputs, JourneyLine, LeadInputs, OutletInputs, RoutineLine
from service.planning.domain.car_week import PlannedBefore, StoredReading
from service.planning.domain.home_week import HomeWeek, home_week
from service.planning.domain.household_week import Control
from service.planning.domain.plans import Cause
from service.planning.domain.price_book import PriceBook
from service.planning.domain.state_of_charge import ChargeBasis
from service.planning.domain.week import plan_household
from service.safety.domain.clearance import Clearance, OutletClearance
from service.safety.domain.lead_clearance import LeadClearance

ZONE = ZoneInfo("Europe/London")
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
AS_OF = slot_index(NOON)
OUTLET = OutletInputs("o" * 32, "garage", "socket_13a", None, "indoors", 10, 1, 1)
LEAD = LeadInputs("l" * 32, "lead", "mode_2", 10, 10)
CAR = CarInputs(
    id="c" * 32,
    ordinal=1,
    label="estate",
    battery_wh=40_000,
    miles_per_kwh=Decimal(4),
    onboard_limit_a=32,
    onboard_phases=1,
    ceiling_percent=80,
    reserve_percent=20,
    outlet_id=OUTLET.id,
    lead=LEAD,
    charge_percent=50,
    charge_read_at=NOON - timedelta(hours=6),
    routine=(),
    journeys=(),
)
CLEAR = OutletClearance(
    OUTLET.id, Clearance.FIT_TO_USE, 10, NOON + timedelta(days=300), "recorded", (), "", Working(())
)


def week(car: CarInputs, outlet: OutletInputs = OUTLET, before: PlannedBefore | None = None) -> HomeWeek:
    home = HomeInputs("h" * 32, "H", "Europe/London", "england", None, None, 1, (outlet,), (car,), ())
    prices = PriceBook({}, AS_OF).for_home(home, ZONE)
    return home_week(
        home, prices, [replace(CLEAR, limit_a=40)], {car.id: before} if before else {}, as_of_slot=AS_OF, zone=ZONE
    )


CHANGED: dict[str, Any] = {
    "label": "other",
    "ordinal": 2,
    "battery_wh": 41_000,
    "miles_per_kwh": Decimal("3.9"),
    "onboard_limit_a": 8,
    "ceiling_percent": 90,
    "reserve_percent": 25,
    "outlet_id": None,
    "lead": replace(LEAD, set_a=6),
    "charge_percent": 51,
    "charge_read_at": NOON - timedelta(hours=6, seconds=-1),
    "routine": (RoutineLine(3, 480, 1080, 0, Decimal(20)),),
    "taper_from_percent": 80,
    "standby_w": 20,
    "journeys": (JourneyLine("j", NOON + timedelta(days=1), NOON + timedelta(days=2), Decimal(9), False, True),),
}
# A change of phases alone draws no other current on a single-phase outlet.
# Another outlet of this home: see below.
# A diary counts for days of the routine: see below.
NO_MATTER = {"id", "onboard_phases", "other_outlet_ids", "diary"}


@pytest.mark.parametrize("name", [field.name for field in fields(CarInputs) if field.name not in NO_MATTER])
def test_every_fact_of_a_car_is_among_the_terms(name: str) -> None:
    assert week(replace(CAR, **{name: CHANGED[name]})).terms_fingerprint != week(CAR).terms_fingerprint


@pytest.mark.parametrize(
    ("name", "value"), [("label", "drive"), ("limit_a", 8), ("control", "schedule"), ("start_delay_s", 300)]
)
def test_every_fact_of_an_outlet_that_a_plan_shows_or_uses_is_among_the_terms(name: str, value: Any) -> None:
    assert week(CAR, replace(OUTLET, **{name: value})).terms_fingerprint != week(CAR).terms_fingerprint


def test_what_the_diary_says_of_such_days_is_ready_before_the_first_departure_of_the_routine() -> None:
    car = replace(CAR, routine=(RoutineLine(3, 480, 1080, 0, Decimal(20)),))
    miles = {10: Decimal(30), 20: Decimal(30), 24: Decimal(50)}
    kept = tuple((date(2026, 11, day), miles.get(day, Decimal(20))) for day in range(2, 25))
    usual, careful = week(car), week(replace(car, diary=kept))
    assert usual.terms_fingerprint != careful.terms_fingerprint
    # of 17 weekdays sixteen lie at 30 miles or below: nine of ten are covered by 30 miles, 7.5 kWh
    trips = {trip.key: trip for trip in careful.cars[0].solved.trips}
    assert {trip.energy_wh for trip in trips.values()} == {5_000}
    assert {trip.careful_wh for trip in trips.values()} == {7_500}


def test_another_outlet_that_may_be_used_is_among_the_terms_and_the_smaller_efficiency_counts() -> None:
    point = OutletInputs("p" * 32, "drive", "charging_point", True, "outdoors", 32, 1, 2)
    both = replace(CAR, other_outlet_ids=(point.id,))
    home = HomeInputs("h" * 32, "H", "Europe/London", "england", None, None, 1, (OUTLET, point), (both,), ())
    clear = [CLEAR, replace(CLEAR, outlet_id=point.id, limit_a=32)]
    found = home_week(home, PriceBook({}, AS_OF).for_home(home, ZONE), clear, {}, as_of_slot=AS_OF, zone=ZONE)
    assert [option.outlet_id for option in found.cars[0].solved.options] == [OUTLET.id, point.id]
    assert found.cars[0].solved.efficiency_permille == 840
    alone = replace(home, cars=(CAR,))
    single = home_week(alone, PriceBook({}, AS_OF).for_home(alone, ZONE), clear, {}, as_of_slot=AS_OF, zone=ZONE)
    assert single.terms_fingerprint != found.terms_fingerprint


def test_a_socket_is_set_by_timer_and_a_charging_point_by_half_hours_that_start_up_to_ten_minutes_late() -> None:
    socket = week(CAR).cars[0].solved
    assert (socket.control, socket.start_loss_wh) == (Control.ONE_RUN, 0)
    point = replace(OUTLET, kind="charging_point", is_tethered=True)
    solved = week(CAR, point).cars[0].solved
    # 10 A for ten minutes are 383 Wh, up to a whole 50
    assert (solved.control, solved.cap_wh, solved.start_loss_wh) == (Control.FREE, 1150, 400)


def test_homes_without_cars_have_plans_of_their_own() -> None:
    def empty(home_id: str) -> HomeWeek:
        home = HomeInputs(home_id, "H", "Europe/London", "england", None, None, 1, (), (), ())
        return home_week(home, PriceBook({}, AS_OF).for_home(home, ZONE), [], {}, as_of_slot=AS_OF, zone=ZONE)

    assert empty("1" * 32).input_fingerprint() != empty("2" * 32).input_fingerprint()


def planned(reading: StoredReading, start_wh: int = 20_000) -> PlannedBefore:
    """A plan made four hours ago that stands on a reading, and has charged 1,000 Wh at the wall since."""
    return PlannedBefore(AS_OF - 8, start_wh, ChargeBasis.READ, reading, 840, ((AS_OF - 8, (1_000,)),))


def test_the_plan_in_force_carries_its_reading_forward_from_its_very_first_half_hour() -> None:
    reading = StoredReading(50, NOON - timedelta(hours=6))
    estimate = week(CAR, before=planned(reading)).cars[0].estimate
    assert (estimate.charge_wh, estimate.basis) == (20_840, ChargeBasis.ESTIMATED)


def test_a_corrected_reading_in_the_same_half_hour_counts() -> None:
    typed_wrong = StoredReading(80, NOON - timedelta(hours=6))
    corrected = replace(CAR, charge_percent=20, charge_read_at=NOON - timedelta(hours=5, minutes=50))
    estimate = week(corrected, before=planned(typed_wrong, 32_000)).cars[0].estimate
    assert estimate.charge_wh == 8_000 + 840


def test_a_reading_taken_while_the_car_is_out_keeps_the_way_home_to_be_driven() -> None:
    out = JourneyLine("j", NOON - timedelta(hours=2), NOON + timedelta(hours=2), Decimal(40), False, True)
    car = replace(CAR, charge_percent=50, charge_read_at=NOON - timedelta(hours=1), journeys=(out,))
    assert week(car).cars[0].estimate.charge_wh == 20_000 - 7_500  # three of four hours of 10,000 Wh are ahead


def test_a_second_journey_that_starts_before_the_car_is_back_is_still_driven() -> None:
    out = JourneyLine("a", NOON - timedelta(hours=2), NOON + timedelta(hours=6), Decimal(20), False, True)
    more = JourneyLine("b", NOON + timedelta(hours=4), NOON + timedelta(hours=8), Decimal(60), False, True)
    car = replace(CAR, charge_read_at=NOON - timedelta(hours=3), journeys=(out, more))
    made = week(car).cars[0]
    assert made.estimate.charge_wh == 20_000 - 5_000
    assert [(trip.key, trip.energy_wh) for trip in made.solved.trips] == [("journey:a", 5_000), ("journey:b", 15_000)]


def test_a_reading_of_two_weeks_ago_or_none_means_the_reserve() -> None:
    for car in (replace(CAR, charge_read_at=NOON - timedelta(days=15)), replace(CAR, charge_percent=None)):
        estimate = week(car).cars[0].estimate
        assert (estimate.charge_wh, estimate.basis) == (8_000, ChargeBasis.NOT_KNOWN)


def test_what_is_charged_in_the_half_hour_of_a_reading_is_not_counted_twice() -> None:
    reading = StoredReading(30, NOON - timedelta(hours=8))
    before = PlannedBefore(AS_OF - 20, 10_000, ChargeBasis.READ, reading, 840, ((AS_OF - 12, (1_000, 1_000)),))
    car = replace(CAR, charge_percent=50, charge_read_at=NOON - timedelta(hours=5, minutes=35))  # in slot AS_OF - 12
    assert week(car, before=before).cars[0].estimate.charge_wh == 20_000 + 840


def test_nothing_is_planned_on_an_outlet_that_is_not_cleared_or_with_a_part_missing() -> None:
    made = [
        week(replace(CAR, lead=None)),
        week(replace(CAR, outlet_id=None)),
    ]
    assert [each.cars[0].solved.cap_wh for each in made] == [0, 0]
    home = HomeInputs("h" * 32, "H", "Europe/London", "england", None, None, 1, (OUTLET,), (CAR,), ())
    prices = PriceBook({}, AS_OF).for_home(home, ZONE)
    for clearance in (Clearance.DO_NOT_USE, Clearance.NOT_KNOWN):
        not_clear = replace(CLEAR, clearance=clearance, valid_until=None, limit_a=None)
        made_week = home_week(home, prices, [not_clear], {}, as_of_slot=AS_OF, zone=ZONE)
        assert made_week.cars[0].solved.usable_until_slot <= AS_OF


def week_with_lead(clearance: Clearance, outlet: OutletInputs = OUTLET) -> HomeWeek:
    home = HomeInputs("h" * 32, "H", "Europe/London", "england", None, None, 1, (outlet,), (CAR,), (), (LEAD,))
    limit_a = 10 if clearance.allows_charging else None
    step = Step("Signs reported", {"warm": "reported"}, "a rule", "a source", clearance.value)
    lead = LeadClearance(LEAD.id, clearance, limit_a, "", (), "", Working((step,)))
    prices = PriceBook({}, AS_OF).for_home(home, ZONE)
    return home_week(home, prices, [CLEAR], {}, as_of_slot=AS_OF, zone=ZONE, leads=[lead])


@pytest.mark.parametrize("clearance", [Clearance.DO_NOT_USE, Clearance.NOT_KNOWN])
def test_a_stopped_lead_leaves_no_current_to_plan_with_and_stands_in_the_working(clearance: Clearance) -> None:
    (car,) = week_with_lead(clearance).cars
    assert (car.limit_a, car.solved.cap_wh, car.solved.has_outlet) == (None, 0, False)
    assert car.solved.steps[0].what == "Signs reported"
    (plan,) = plan_household(week_with_lead(clearance).week).vehicles
    assert plan.blocks == ()
    assert {short.cause for short in plan.shortfalls} <= {Cause.NO_USABLE_OUTLET}


def test_a_lead_that_may_be_used_changes_nothing_but_is_part_of_the_terms() -> None:
    usable, stopped = week_with_lead(Clearance.USE_WITH_LIMITS), week_with_lead(Clearance.DO_NOT_USE)
    assert usable.cars[0].limit_a == 10
    assert len({week.terms_fingerprint for week in (usable, stopped, week_with_lead(Clearance.NOT_KNOWN))}) == 3


def test_a_stopped_lead_is_none_of_a_tethered_points_business() -> None:
    tethered = replace(OUTLET, kind="charging_point", is_tethered=True)
    (car,) = week_with_lead(Clearance.DO_NOT_USE, tethered).cars
    assert (car.lead, car.limit_a) == (None, 10)


def at_home_of(outlet: OutletClearance, lead: LeadClearance, **changes: Any) -> HomeWeek:
    """Return the week of a car whose lead is rated for more than the socket may carry for hours."""
    strong = replace(LEAD, **{"rated_a": 13, "set_a": 13, "settings_a": (6, 8, 10, 13), **changes})
    home = HomeInputs(
        "h" * 32, "H", "Europe/London", "england", None, None, 1, (OUTLET,), (replace(CAR, lead=strong),), ()
    )
    prices = PriceBook({}, AS_OF).for_home(home, ZONE)
    return home_week(home, prices, [outlet], {}, as_of_slot=AS_OF, zone=ZONE, leads=[lead])


USABLE_LEAD = LeadClearance(LEAD.id, Clearance.USE_WITH_LIMITS, 13, "", (), "", Working(()))


def test_a_car_that_would_draw_too_much_for_its_outlet_gets_nothing_until_a_photo_shows_the_setting() -> None:
    bare, shown = at_home_of(CLEAR, USABLE_LEAD), at_home_of(CLEAR, USABLE_LEAD, setting_shown_a=8)
    assert bare.cars[0].solved.cap_wh == 0
    assert "not confirmed by a photo" in [step.result for step in bare.cars[0].solved.steps][-3]
    assert shown.cars[0].limit_a == 8
    assert shown.cars[0].solved.cap_wh == 8 * 230 // 2
    assert bare.terms_fingerprint != shown.terms_fingerprint


def test_nothing_is_planned_after_the_leads_own_evidence_ends() -> None:
    ends_at = NOON + timedelta(days=2)
    week_ends = at_home_of(CLEAR, replace(USABLE_LEAD, valid_until=ends_at), set_a=10)
    assert week_ends.cars[0].solved.usable_until_slot == slot_index(ends_at)
