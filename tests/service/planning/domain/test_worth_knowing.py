"""What is worth knowing: by hand, only what could make a difference, each with its working."""

from dataclasses import replace
from decimal import Decimal

from service.households.domain.homes import RoutineLine, SupplyInputs
from service.planning.domain.worth_knowing import WorthKind, worth_knowing
from service.safety.domain.clearance import Clearance
from tests.factories.comparable_homes import CAR, LEAD, NIGHT, SOCKET, changed_week, cleared, home, week

LONG_DAYS = tuple(RoutineLine(day, 480, 1380, 0, Decimal(80)) for day in range(7))
POINT = replace(SOCKET, kind="charging_point", is_tethered=True, limit_a=32)


def items_of(of, clearances=None):
    return worth_knowing(week(of, clearances), lambda changes: changed_week(of, changes, clearances))


def kinds(items):
    return [item.kind for item in items]


def test_more_current_by_hand_moves_what_did_not_fit_into_the_cheap_hours():
    # Monday noon: 21 kWh and a reserve of 4, of which 10 are there: 15 kWh.
    # At 10 A 17.857 at the wall, planned as 17.8: four cheap hours give 9.2, and 8.6 cost 30 p.
    # At 32 A 16.666, planned as 16.6, and 1.24 against a start ten minutes late, all at 10 p: 350 p become 178.4 p.
    car = replace(CAR, routine=(RoutineLine(0, 720, 1080, 0, Decimal(84)),))
    (item,) = [each for each in items_of(home(car, tariff=NIGHT)) if each.kind is WorthKind.MORE_CURRENT]
    assert (item.label, item.before, item.after) == ("garage socket", 10, 32)
    assert item.worth.saved_up == 52 * 171_600_000
    assert "before an electrician's record" in item.working[0].rule
    assert item.working[1].result == "8923.2 p saved, 0 kWh less short"


def test_more_current_is_told_from_what_is_drawn_now():
    slow = replace(LEAD, set_a=6)
    (item,) = [each for each in items_of(home(replace(CAR, lead=slow))) if each.kind is WorthKind.MORE_CURRENT]
    assert (item.before, item.after) == (6, 32)


def test_an_hour_more_at_home_closes_what_ten_amperes_give_in_it():
    # six nights follow a return inside the week, each with an hour more of 2.3 kWh
    car = replace(CAR, routine=LONG_DAYS, charge_percent=20, ceiling_percent=100)
    (item,) = [each for each in items_of(home(car)) if each.kind is WorthKind.HOUR_MORE]
    assert item.worth.closed_wh > 0
    assert item.worth.closed_wh <= 52 * 7 * 2_300


def test_what_could_make_no_difference_is_left_out():
    # the car takes 10 A, its ceiling is 100 % already, and one outlet has the supply alone
    car = replace(CAR, onboard_limit_a=10, ceiling_percent=100)
    assert kinds(items_of(home(car))) == [WorthKind.HOUR_MORE]
    assert kinds(items_of(home(replace(CAR, routine=()), outlets=(POINT,)))) == [WorthKind.FULL_CEILING]


def test_where_nothing_may_be_used_nothing_is_worth_anything():
    stopped = (replace(cleared(home())[0], clearance=Clearance.DO_NOT_USE, limit_a=None),)
    assert items_of(home(), stopped) == ()


def test_a_bigger_fuse_counts_only_where_two_outlets_share_it():
    twin = replace(POINT, id="p" * 32, label="drive", ordinal=2)
    other = replace(CAR, id="e" * 32, ordinal=2, outlet_id=twin.id)
    of = home(CAR, other, outlets=(POINT, twin), supply=SupplyInputs(60, 1))
    fuses = [each for each in items_of(of) if each.kind is WorthKind.BIGGER_FUSE]
    assert [(each.before, each.after) for each in fuses] == [(60, 80), (60, 100)]
    assert all(each.worth.closed_wh >= 0 for each in fuses)
    assert WorthKind.BIGGER_FUSE not in kinds(items_of(home(outlets=(POINT, twin), supply=SupplyInputs(60, 1))))
    not_known = replace(of, supply=SupplyInputs(None, 1))
    assert WorthKind.BIGGER_FUSE not in kinds(items_of(not_known))


def test_without_a_price_the_worth_is_not_known():
    assert {item.worth.saved_up for item in items_of(home(contracts=()))} == {None}
