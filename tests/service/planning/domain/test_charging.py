"""Current, power, energy and loss: identities, the declared voltage band, and the defaults' sources."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from service.common.money import parse_pence
from service.common.slots import SLOT_HOURS, slots_within
from service.common.units import LITRES_PER_GALLON
from service.planning.domain.charging import (
    DEFAULT_EFFICIENCIES,
    battery_gain_wh,
    default_efficiency,
    efficiency_permille,
    hours_to_charge,
    miles_per_hour,
    miles_per_wall_kwh,
    pence_per_mile,
    power_w,
    slot_cap_wh,
    usable_current,
    wall_need_wh,
    wall_room_wh,
)
from service.planning.domain.path_kernel import cheapest_path, price_tables

TRADE = "common practice, no source"
IDENTITY = "arithmetic identity"
DECLARED = "230 V +10 %/-6 %: Electricity Safety, Quality and Continuity Regulations 2002, reg. 27; arithmetic"
FOUR_CARS = "four-car charging-loss test by a motoring club, September 2022, as reported by the press"
ONE_PACK = "press report of a charging-loss test: a 105.2 kWh pack took 125.2 kWh; share of wall energy worked out"

LEAD_W, LEAD_PERMILLE, MILES_PER_BATTERY_KWH = power_w(10), 840, Decimal(4)
NIGHT = slots_within(datetime(2026, 1, 5, 18, tzinfo=UTC), datetime(2026, 1, 6, 8, tzinfo=UTC))
NIGHT_H = len(NIGHT) * SLOT_HOURS


def night_miles() -> Decimal:
    return Decimal(NIGHT_H) * miles_per_hour(1000, 1000, Decimal(4))


def one_pack_lost_percent() -> float:
    return 100 - efficiency_permille(105_200, 125_200) / 10


def blended_pence() -> float:
    """Return the average price of a plan that must use three dear half-hours and one cheap one."""
    tables = price_tables([parse_pence("30.7"), parse_pence("7.9"), parse_pence("30.7"), parse_pence("30.7")])
    plan = cheapest_path(tables, [10_000], [10_000], [[(0, 4, 2_500)]])
    return int(plan.cost_np[0]) / 1e6 / int(plan.used_wh.sum())


FACTS: list[tuple[str, str, float, Callable[[], Decimal | float], float]] = [
    ("10 A x 230 V [kW]", TRADE, 2.3, lambda: power_w(10) / 1000, 0),
    ("32 A x 230 V [kW]", TRADE, 7.36, lambda: power_w(32) / 1000, 0),
    ("17 miles at 4 miles an hour [h]", IDENTITY, 4.25, lambda: 17 / miles_per_hour(1000, 1000, Decimal(4)), 0),
    ("4.25 kWh at 1 kW [h]", IDENTITY, 4.25, lambda: hours_to_charge(wall_need_wh(4250, 1000), 1000), 0),
    ("18:00 to 08:00 at 4 miles an hour [mi]", IDENTITY, 56, night_miles, 0),
    (
        "2.3 kW x 0.84 x 4 miles per battery kWh [mi/h]",
        IDENTITY,
        7.728,
        lambda: miles_per_hour(LEAD_W, LEAD_PERMILLE, MILES_PER_BATTERY_KWH),
        0,
    ),
    ("the same, as said [mi/h]", TRADE, 7.7, lambda: miles_per_hour(LEAD_W, LEAD_PERMILLE, Decimal(4)), 0.05),
    ("14 h of it [mi]", TRADE, 108, lambda: miles_per_hour(LEAD_W, LEAD_PERMILLE, Decimal(4)) * 14, 0.5),
    ("4 miles per battery kWh [mi per wall kWh]", IDENTITY, 3.36, lambda: miles_per_wall_kwh(Decimal(4), 840), 0),
    (
        "28 p at 3.36 miles per wall kWh [p/mi]",
        IDENTITY,
        8.33,
        lambda: pence_per_mile(parse_pence("28"), miles_per_wall_kwh(Decimal(4), 840)),
        0.005,
    ),
    ("28 p at 4 mi/kWh [p/mi]", TRADE, 7, lambda: pence_per_mile(parse_pence("28"), Decimal(4)), 0),
    ("7.9 p at 4 mi/kWh [p/mi]", TRADE, 1.975, lambda: pence_per_mile(parse_pence("7.9"), Decimal(4)), 0),
    ("40 mpg at 130 p a litre [p/mi]", TRADE, 14.8, lambda: 130 * LITRES_PER_GALLON / 40, 0.05),
    ("30.7 and 7.9 p used 75 and 25 % [p/kWh]", TRADE, 25.0, blended_pence, 1e-9),
    ("16 A on three phases [kW]", DECLARED, 11.04, lambda: power_w(16, 3) / 1000, 0),
    ("32 A on three phases [kW]", DECLARED, 22.08, lambda: power_w(32, 3) / 1000, 0),
    ("efficiency of the one pack [per mille]", ONE_PACK, 840, lambda: efficiency_permille(105_200, 125_200), 0),
    ("lost by the one pack [% of wall energy]", ONE_PACK, 16.0, one_pack_lost_percent, 0),
    ("lost at a 2.3 kW socket [%]", FOUR_CARS, 16.4, lambda: lost_percent(2_300), 0.5),
    ("lost at 3.5 and 3.6 kW [%]", FOUR_CARS, 12.65, lambda: lost_percent(3_600), 0.5),
    ("lost at 11 kW [%]", FOUR_CARS, 8.2, lambda: lost_percent(11_000), 0.05),
]  # fmt: skip

# Amps, then kW at 230, 216.2 and 253 V, to three decimals
POWERS = [
    (6, 1.380, 1.297, 1.518),
    (8, 1.840, 1.730, 2.024),
    (10, 2.300, 2.162, 2.530),
    (12, 2.760, 2.594, 3.036),
    (13, 2.990, 2.811, 3.289),
    (16, 3.680, 3.459, 4.048),
    (20, 4.600, 4.324, 5.060),
    (32, 7.360, 6.918, 8.096),
]


def lost_percent(power: int) -> float:
    return 100 - default_efficiency(power, date(2026, 11, 25)).permille / 10


@pytest.mark.reference
@pytest.mark.parametrize(("name", "source", "expected", "got", "tolerance"), FACTS, ids=[row[0] for row in FACTS])
def test_facts_of_the_trade_come_out_of_our_own_functions(name, source, expected, got, tolerance, reference):
    reference(source=source, expected=expected, got=float(got()), tolerance=tolerance or 1e-12)


@pytest.mark.reference
@pytest.mark.parametrize("volts", ["230", "216.2", "253"])
@pytest.mark.parametrize("row", POWERS, ids=[f"{row[0]} A" for row in POWERS])
def test_power_over_the_declared_voltage_band(row, volts, reference):
    expected = row[1 + ["230", "216.2", "253"].index(volts)]
    got = float(power_w(row[0], 1, Decimal(volts)) / 1000)
    reference(source=DECLARED, expected=expected, got=got, tolerance=0.0005)


@pytest.mark.parametrize(
    ("amps", "phases", "expected_wh"), [(6, 1, 690), (10, 1, 1150), (32, 1, 3680), (16, 3, 5520), (0, 1, 0)]
)
def test_a_half_hour_holds_half_the_power(amps, phases, expected_wh):
    assert slot_cap_wh(amps, phases) == expected_wh


def test_a_half_hour_is_rounded_down_to_whole_watt_hours():
    assert slot_cap_wh(Decimal("13.01")) == 1496  # 1496.15


def test_the_least_current_on_the_way_binds_and_says_so():
    current = usable_current({"outlet": 32, "lead as set": 10, "car": 16}, {"outlet": 3, "car": 1}, source="test")
    assert current is not None
    assert (current.limit_a, current.phases, current.bound_by, current.cap_wh) == (10, 1, "lead as set", 1150)
    assert current.step.result == "10 A (set by: lead as set), 2.3 kW"


def test_a_three_phase_car_on_one_phase_takes_what_one_phase_gives():
    current = usable_current({"outlet": 32, "car": 16}, {"outlet": 1, "car": 3}, source="test")
    assert current is not None
    assert current.cap_wh == slot_cap_wh(16, 1)


@pytest.mark.parametrize(
    ("limits", "phases"),
    [({"outlet": 32, "lead as set": None}, {"outlet": 1}), ({"outlet": 32}, {"outlet": None}), ({}, {})],
)
def test_a_current_that_is_not_known_is_never_assumed(limits, phases):
    assert usable_current(limits, phases, source="test") is None


def test_needs_round_up_and_room_rounds_down():
    for permille in (700, 840, 873, 900, 1000):
        for battery_wh in (*range(-5, 6), 999, 12_345):
            need, room = wall_need_wh(battery_wh, permille), wall_room_wh(battery_wh, permille)
            assert need * permille >= battery_wh * 1000 > (need - 1) * permille
            assert room * permille <= battery_wh * 1000 < (room + 1) * permille


def test_a_met_need_is_in_the_battery():
    for permille in (700, 840, 999):
        assert all(battery_gain_wh(wall_need_wh(need, permille), permille) >= need for need in range(0, 3000, 7))


def test_every_power_has_a_default_with_its_source_from_the_first_date_on():
    for power in (1, 2_999, 3_000, 7_360, 22_080):
        row = default_efficiency(power, date(2026, 11, 25))
        assert power < row.below_w
        assert row.source
    assert default_efficiency(2_300, date(2026, 11, 25)).permille == 840
    assert default_efficiency(7_360, date(2026, 11, 25)).permille == 900


def test_a_date_before_the_first_row_has_no_default():
    with pytest.raises(ValueError, match="no default efficiency"):
        default_efficiency(2_300, date(2020, 1, 1))


def test_default_rows_ascend():
    keys = [(row.from_on, row.below_w) for row in DEFAULT_EFFICIENCIES]
    assert keys == sorted(keys)
