"""A charge carried forward: plans add to it, journeys and standing take from it, and it stays in the battery."""

from service.planning.domain.state_of_charge import (
    READING_LASTS_SLOTS,
    ChargeBasis,
    ChargeEstimate,
    ChargeReading,
    carry_forward,
)

READ = ChargeReading(20_000, 100)


def carried(reading=READ, as_of_slot=148, used=(), charged=(), standby_w=0) -> ChargeEstimate:
    return carry_forward(
        reading,
        as_of_slot=as_of_slot,
        used_wh=used,
        charged_wh=charged,
        battery_wh=50_000,
        reserve_wh=5_000,
        standby_w=standby_w,
    )


def test_a_reading_that_nothing_happened_to_is_as_read() -> None:
    assert carried() == ChargeEstimate(20_000, ChargeBasis.READ)


def test_plans_add_and_journeys_take() -> None:
    assert carried(used=[(110, 8_000)], charged=[(120, 3_000)]) == ChargeEstimate(15_000, ChargeBasis.ESTIMATED)


def test_standing_takes_its_watts_for_all_the_time_since_the_reading() -> None:
    assert carried(standby_w=25) == ChargeEstimate(20_000 - 24 * 25, ChargeBasis.ESTIMATED)
    assert carried(as_of_slot=101, standby_w=25) == ChargeEstimate(20_000 - 13, ChargeBasis.ESTIMATED)  # 12.5 Wh, up


def test_nothing_goes_below_empty_or_above_full() -> None:
    assert carried(used=[(110, 90_000)], charged=[(120, 3_000)]).charge_wh == 3_000
    assert carried(charged=[(120, 90_000)], standby_w=25).charge_wh == 50_000 - 600
    assert carried(standby_w=500, as_of_slot=100 + 300).charge_wh == 0


def test_a_reading_too_old_or_none_means_the_reserve() -> None:
    unknown = ChargeEstimate(5_000, ChargeBasis.NOT_KNOWN)
    assert carried(None) == unknown
    assert carried(as_of_slot=READ.slot + READING_LASTS_SLOTS + 1, standby_w=25) == unknown
