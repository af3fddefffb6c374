from datetime import UTC, datetime, timedelta, timezone

import pytest

from service.common.clock import FixedClock, SystemClock


def test_the_system_clock_is_aware_and_in_utc():
    assert SystemClock().now().tzinfo is UTC


def test_a_fixed_clock_stands_still_until_moved():
    clock = FixedClock(datetime(2026, 3, 29, 2, tzinfo=timezone(timedelta(hours=1))))
    assert clock.now() == clock.now() == datetime(2026, 3, 29, 1, tzinfo=UTC)
    clock.move(timedelta(days=1))
    assert clock.now() == datetime(2026, 3, 30, 1, tzinfo=UTC)


def test_a_fixed_clock_refuses_a_naive_instant():
    with pytest.raises(ValueError, match="aware"):
        FixedClock(datetime(2026, 1, 1))  # noqa: DTZ001 - the naive value is the point
