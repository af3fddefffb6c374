"""The plan against what was charged, by local day."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from service.advice.domain.charged import ESTIMATE_NOTE, PLAN_NOTE, SPREAD_NOTE, ChargedAnswer, charged_answer
from service.advice.domain.charged_estimate import DrivenCar
from service.advice.domain.charged_prices import paid_prices
from service.common.slots import local_day_slots, slot_index
from service.households.domain.charging_records import Charged
from tests.service.advice.domain.test_charged_prices import banded, contract, home

LONDON = ZoneInfo("Europe/London")
FIRST, END = date(2026, 11, 23), date(2026, 11, 26)
EVENING = datetime(2026, 11, 23, 22, 0, tzinfo=UTC)
CAR = DrivenCar("v", "hatchback", Decimal("3.6"), 840, {})


def record(start: datetime, hours: float, energy_wh: int, **changes: Any) -> Charged:
    values = {"is_metered": False, "half_hours": (), "paid_pence": None, **changes}
    place = values.pop("place", "home")
    return Charged(f"{start:%d%H}", "v", None, place, start, start + timedelta(hours=hours), energy_wh, **values)


def answer(*records: Charged, **changes: Any) -> ChargedAnswer:
    priced = paid_prices(home(contract()), {"n": banded()}, FIRST - timedelta(days=1), END + timedelta(days=1))
    values: dict[str, Any] = {
        "leaves": {}, "planned_wh": {}, "cars": [CAR], "first_on": FIRST, "end_on": END, "today": END,
        "prices": priced, "zone": LONDON, **changes,
    }  # fmt: skip
    prices, zone = values.pop("prices"), values.pop("zone")
    return charged_answer(records, prices, zone, **values)


def test_a_night_is_shared_between_its_two_days_at_the_price_of_each_half_hour() -> None:
    # 22:00 to 02:00, 1,150 Wh a half-hour: four before midnight at 31 p, one after it at 31 p, three at 9.5 p.
    found = answer(record(EVENING, 4, 9_200))
    first, second, third = found.days
    assert (first.home_wh, first.cost_up) == (4_600, 142_600_000)
    assert (second.home_wh, second.cost_up) == (4_600, 35_650_000 + 3 * 10_925_000)
    assert (third.home_wh, third.cost_up) == (0, 0)
    assert (found.totals.home_wh, found.totals.cost_up) == (9_200, first.cost_up + second.cost_up)
    assert [day.is_spread for day in found.days] == [True, True, False]
    assert SPREAD_NOTE in found.notes


def test_what_was_charged_outside_cheap_hours_and_what_it_cost_more_are_told() -> None:
    found = answer(record(EVENING, 4, 9_200), leaves={"v": [datetime(2026, 11, 24, 7, 30, tzinfo=UTC)]})
    assert [day.outside_cheap_wh for day in found.days] == [4_600, 1_150, 0]
    # All 9.2 kWh fit into 00:30 to 04:30 at 9.5 p: 5.75 kWh cost 21.5 p more than they had to.
    assert [day.dearer_up for day in found.days] == [123_625_000, 0, 0]
    assert found.totals.dearer_up == 123_625_000


def test_half_hours_that_the_meter_told_are_not_spread() -> None:
    night = slot_index(datetime(2026, 11, 24, 0, 30, tzinfo=UTC))
    found = answer(record(EVENING, 4, 2_300, half_hours=((night, 1_150), (night + 1, 1_150))))
    assert [(day.home_wh, day.is_spread) for day in found.days] == [(0, False), (2_300, False), (0, False)]
    assert (found.totals.cost_up, found.totals.outside_cheap_wh) == (21_850_000, 0)
    assert SPREAD_NOTE not in found.notes


def test_energy_without_a_price_is_no_money_and_its_day_has_no_cost() -> None:
    ended = paid_prices(
        home(contract(ends_on=date(2026, 11, 24))), {"n": banded()}, FIRST - timedelta(days=1), END + timedelta(days=1)
    )
    found = answer(record(EVENING, 4, 9_200), prices=ended)
    assert [(day.cost_up, day.unpriced_wh) for day in found.days] == [(142_600_000, 0), (None, 4_600), (0, 0)]
    assert (found.totals.cost_up, found.totals.unpriced_wh) == (142_600_000, 4_600)
    assert (found.days[0].dearer_up, found.totals.dearer_up, found.totals.uncompared_wh) == (None, 0, 9_200)


def test_charging_elsewhere_stands_apart_with_what_was_paid_where_it_is_known() -> None:
    found = answer(
        record(EVENING, 1, 20_000, place="public", paid_pence=1_480), record(EVENING + timedelta(days=1), 1, 7_000,
                                                                            place="work"),
    )  # fmt: skip
    assert [(day.elsewhere_wh, day.paid_pence, day.unpaid_count) for day in found.days] == [
        (20_000, 1_480, 0), (7_000, 0, 1), (0, 0, 0),
    ]  # fmt: skip
    assert (found.totals.home_wh, found.totals.cost_up) == (0, 0)


def test_a_day_is_set_against_the_plan_only_where_all_of_it_is_known() -> None:
    day = local_day_slots(date(2026, 11, 24), LONDON)
    planned: dict[int, int | None] = dict.fromkeys(day, 0) | {day.start + 1: 1_150, day.start + 2: 1_000}
    found = answer(record(EVENING, 4, 9_200), planned_wh=planned)
    assert [each.planned_wh for each in found.days] == [None, 2_150, None]
    assert (found.totals.planned_wh, found.totals.planned_days, found.totals.home_on_planned_days_wh) == (
        2_150, 1, 4_600,
    )  # fmt: skip
    assert PLAN_NOTE in found.notes


def test_an_estimate_is_in_no_total_of_what_was_charged_and_never_beside_records_of_its_week() -> None:
    driven = DrivenCar("v", "hatchback", Decimal("3.6"), 840, {FIRST: Decimal(42)})
    found = answer(cars=[driven])
    assert (found.days[0].estimate_wh, found.days[0].home_wh, found.days[0].cost_up) == (13_889, 0, 0)
    assert (found.totals.estimate_wh, found.totals.home_wh, found.totals.cost_up) == (13_889, 0, 0)
    assert ESTIMATE_NOTE in found.notes
    with_record = answer(record(EVENING + timedelta(days=4), 1, 2_300), cars=[driven])
    assert with_record.totals.estimate_wh == 0


def test_today_is_not_estimated() -> None:
    driven = DrivenCar("v", "hatchback", Decimal("3.6"), 840, {FIRST: Decimal(42)})
    assert answer(cars=[driven], today=FIRST).totals.estimate_wh == 0


def test_the_days_of_a_clock_change_hold_all_their_half_hours() -> None:
    on = date(2026, 10, 25)
    prices = paid_prices(home(contract()), {"n": banded()}, on - timedelta(days=1), on + timedelta(days=2))
    start = datetime(2026, 10, 24, 23, 30, tzinfo=UTC)  # 00:30 by the clock: six hours until 05:30
    found = answer(record(start, 6, 13_800), prices=prices, first_on=on, end_on=on + timedelta(days=1), today=END)
    assert (found.days[0].home_wh, found.days[0].outside_cheap_wh, found.days[0].cost_up) == (13_800, 0, 131_100_000)


def test_the_working_names_what_went_in() -> None:
    steps = answer(record(EVENING, 4, 9_200)).steps
    assert [step.what for step in steps] == [
        "What was charged at home cost",
        "Charged outside the cheap hours",
        "What the time of charging cost more than it had to",
        "What the plan had for the same days",
    ]
    assert steps[0].inputs == {"energy": "9.2 kWh", "without a price": "0 kWh", "tariff": "Tariff n"}
    assert steps[0].result == "211.025 p"
