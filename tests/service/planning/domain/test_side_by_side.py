"""Both sides of a comparison: by hand, from the same start, equal where nothing changes, no price ever made up."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from service.households.domain.diary import WeeklyDeparture
from service.households.domain.homes import RoutineLine
from service.households.domain.vehicle_details import VehicleDetails
from service.planning.domain.side_by_side import Side
from service.planning.domain.what_if import (
    Changes,
    NewRoutine,
    OtherLimits,
    OtherOutlet,
    OtherSupply,
    OtherTariff,
    SecondCar,
)
from service.planning.domain.worth import Worth
from service.safety.domain.clearance import Clearance
from tests.factories.comparable_homes import (
    CAR,
    LEAD,
    NIGHT,
    SOCKET,
    THIRTY,
    TWENTY,
    changed_week,
    cleared,
    compared,
    home,
    week,
)

POINT = OtherOutlet(SOCKET.id, "charging_point", 32, 1, "schedule")
LONG_DAYS = tuple(RoutineLine(day, 480, 1380, 0, Decimal(80)) for day in range(7))


def restated(line: RoutineLine) -> WeeklyDeparture:
    return WeeklyDeparture(line.weekday, line.leaves_min, line.returns_min, line.returns_days_later, line.miles)


def test_twice_the_miles_by_hand():
    # Monday: 8 kWh of 10, and 4 are the reserve: 2 kWh into the battery are 2.381 at the wall, planned as 2.3.
    # With 64 miles 10 kWh are 11.904 at the wall, planned as 11.9.
    (line,) = CAR.routine
    found = compared(home(), Changes(routine=NewRoutine(CAR.id, (replace(restated(line), miles=Decimal(64)),))))
    assert found.now == Side(2_300 * 30_000, 2_300, 0, 0, 1)
    assert found.changed == Side(11_900 * 30_000, 11_900, 0, 0, 1)
    assert found.yearly == Worth(-52 * 9_600 * 30_000, 0)
    assert found.working[0].inputs["departures"] == "1"  # the Monday after is not one of the seven days


def test_another_tariff_costs_its_own_price_for_the_same_energy():
    found = compared(home(), Changes(tariff=OtherTariff(TWENTY)))
    assert (found.now.cost_up, found.changed.cost_up) == (69_000_000, 46_000_000)
    assert found.yearly == Worth(52 * 23_000_000, 0)
    assert any("standing charges" in note for note in found.notes)


def test_a_charging_point_for_a_socket_closes_what_nine_hours_could_not_give():
    # 80 miles a day are 20 kWh; from 23:00 to 08:00 10 A give 20.7 kWh at the wall, 17.4 in the battery
    found = compared(home(replace(CAR, routine=LONG_DAYS, charge_percent=60)), Changes(outlet=POINT))
    assert found.now.short_wh > 0
    assert found.now.short_departures > 0
    assert (found.changed.short_wh, found.changed.short_departures) == (0, 0)
    assert found.yearly.closed_wh == 52 * found.now.short_wh
    assert "as if it were cleared: nothing is charged there before an electrician's record" in " ".join(found.notes)


def test_where_nothing_may_be_used_now_that_side_charges_nothing():
    stopped = (replace(cleared(home())[0], clearance=Clearance.DO_NOT_USE, limit_a=None),)
    found = compared(home(), Changes(outlet=POINT), stopped)
    assert (found.now.energy_wh, found.now.night_count) == (0, 0)
    assert [note for note in found.notes if "has no outlet" in note] == [
        "estate has no outlet with a lead here that it may use, as it is now: nothing is charged into it."
    ]
    assert found.working[0].inputs["current it may draw"] == "none"
    # 2 kWh on Monday; the Monday after lies beyond the seven days
    assert (found.now.short_departures, found.now.short_wh) == (1, 2_300)
    assert found.changed.energy_wh > 0


def test_a_price_that_is_not_known_leaves_cost_and_year_unknown():
    found = compared(home(contracts=()), Changes(tariff=OtherTariff(TWENTY)))
    assert (found.now.cost_up, found.changed.cost_up) == (None, 46_000_000)
    assert found.yearly.saved_up is None
    assert "cost not known" in found.working[-1].result


def test_a_new_routine_does_not_reach_back_to_what_was_driven():
    # read on Sunday at noon, driven 32 miles since by the old routine
    old = (RoutineLine(6, 780, 1080, 0, Decimal(32)),)
    driven = replace(CAR, routine=old, charge_read_at=CAR.charge_read_at.replace(day=4, hour=12), charge_percent=60)
    none = Changes(routine=NewRoutine(CAR.id, ()))
    assert changed_week(home(driven), none).week.vehicles[0].start_charge_wh == 24_000
    assert week(home(driven)).week.vehicles[0].start_charge_wh == 16_000
    far = Changes(routine=NewRoutine(CAR.id, (WeeklyDeparture(0, 720, 1080, 0, Decimal(80)),)))
    # 20 kWh and a reserve of 4 of which 16 are there: 8 kWh are 9.523 at the wall, planned as 9.5
    assert compared(home(driven), far).changed.energy_wh == 9_500


def test_a_second_car_on_the_one_outlet_adds_its_own_energy():
    # it starts at its reserve of 10 kWh and needs 5 for Tuesday: 5.952 at the wall, planned as 5.9
    details = VehicleDetails("small one", 50_000, Decimal(4), 32, outlet_id=SOCKET.id, lead_id=LEAD.id)
    second = SecondCar(details, (WeeklyDeparture(1, 720, 1080, 0, Decimal(20)),))
    found = compared(home(), Changes(second_car=second))
    assert (found.now.energy_wh, found.changed.energy_wh) == (2_300, 8_200)
    assert [step.what for step in found.working[:-1]] == [
        "estate, as it is now", "estate, with the change", "small one, with the change",
    ]  # fmt: skip


def test_a_car_that_nothing_here_could_charge_is_said():
    second = SecondCar(VehicleDetails("small one", 50_000, Decimal(4), 32, outlet_id=SOCKET.id), ())
    notes = compared(home(), Changes(second_car=second)).notes
    assert any(note.startswith("small one has no outlet") for note in notes)


def test_nights_are_counted_from_noon_to_noon():
    # 12 kWh a day from Monday to Friday at the cheap hours of each night
    days = tuple(RoutineLine(day, 480, 1080, 0, Decimal(48)) for day in range(5))
    car = replace(CAR, routine=days, ceiling_percent=50, charge_percent=50)
    found = compared(home(car, tariff=NIGHT), Changes(tariff=OtherTariff(NIGHT)))
    assert found.now.night_count >= 4
    assert found.now.night_count <= 7


@st.composite
def cars(draw):
    days = draw(st.lists(st.integers(0, 6), unique=True, max_size=7))
    routine = tuple(
        RoutineLine(
            day, draw(st.integers(300, 720)), draw(st.integers(780, 1430)), 0, Decimal(draw(st.integers(0, 120)))
        )
        for day in sorted(days)
    )
    return replace(
        CAR,
        routine=routine,
        charge_percent=draw(st.one_of(st.none(), st.integers(0, 100))),
        ceiling_percent=draw(st.integers(50, 100)),
        reserve_percent=draw(st.integers(0, 40)),
        onboard_limit_a=draw(st.sampled_from((10, 16, 32))),
    )


@settings(max_examples=40, deadline=None)
@given(cars(), st.sampled_from((THIRTY, NIGHT)))
def test_a_change_that_changes_nothing_gives_equal_sides(car, tariff):
    of = home(car, tariff=tariff)
    for changes in (
        Changes(routine=NewRoutine(car.id, tuple(restated(line) for line in car.routine))),
        Changes(tariff=OtherTariff(tariff)),
        Changes(outlet=OtherOutlet(SOCKET.id, SOCKET.kind, SOCKET.limit_a, SOCKET.phases, SOCKET.control)),
        Changes(supply=OtherSupply(80)),
        Changes(limits=OtherLimits(car.id, car.ceiling_percent, car.reserve_percent)),
    ):
        found = compared(of, changes)
        assert found.now == found.changed
        assert found.yearly == Worth(None if found.now.cost_up is None else 0, 0)


@settings(max_examples=60, deadline=None)
@given(cars(), st.integers(10, 31), st.integers(1, 22))
def test_more_current_never_leaves_more_short(car, limit_a, more_a):
    point = replace(SOCKET, kind="charging_point", is_tethered=True, limit_a=limit_a)
    of = home(car, outlets=(point,))
    other = OtherOutlet(SOCKET.id, "charging_point", limit_a + more_a, 1, point.control)
    found = compared(of, Changes(outlet=other))
    assert found.changed.short_wh <= found.now.short_wh
    assert found.changed.short_departures <= found.now.short_departures
