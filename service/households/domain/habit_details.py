"""What the people of a home do and like, checked as it is put together: swaps, quiet hours, how sure to be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.common.errors import Fault
from service.households.domain.ranges import in_range, refuse

SWAP_TIMES_MAX = 3
"""Own bound: with more, few homes could still be planned exactly."""
YEARLY_MAX_KWH = 100_000
"""Own bound: a large house with electric heating uses a third of it."""
_LAST_MINUTE = 24 * 60 - 1


@dataclass(frozen=True)
class HabitDetails:
    """Times are minutes after local midnight.

    At ``swap_times_min`` somebody is up to swap cars at an outlet. ``need_quantile_permille`` of days are to be
    covered by what is charged, as the diary has them. ``yearly_kwh`` is what the house uses without its cars, None
    where not known. From ``quiet_from_min`` until ``quiet_until_min``, past midnight if that is earlier, nothing
    charges; both None: at any time.
    """

    swap_times_min: tuple[int, ...] = (1140,)
    need_quantile_permille: int = 900
    yearly_kwh: int | None = None
    quiet_from_min: int | None = None
    quiet_until_min: int | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "swap_times_min", tuple(self.swap_times_min))
        refuse(
            _swap_faults(self.swap_times_min),
            in_range("need_quantile_permille", self.need_quantile_permille, 500, 1000, "in a thousand days"),
            () if self.yearly_kwh is None else in_range("yearly_kwh", self.yearly_kwh, 0, YEARLY_MAX_KWH, "kWh"),
            _quiet_faults(self.quiet_from_min, self.quiet_until_min),
        )


def _swap_faults(times_min: tuple[int, ...]) -> Iterator[Fault]:
    if not 1 <= len(times_min) <= SWAP_TIMES_MAX:
        yield Fault("swap_times", len(times_min), f"must be 1 to {SWAP_TIMES_MAX} times of day")
    elif list(times_min) != sorted(set(times_min)):
        yield Fault("swap_times", str(list(times_min)), "must rise, each time once")
    for position, minute in enumerate(times_min):
        yield from in_range(f"swap_times.{position}", minute, 0, _LAST_MINUTE, "minutes after midnight")


def _quiet_faults(from_min: int | None, until_min: int | None) -> Iterator[Fault]:
    if (from_min is None) != (until_min is None):
        missing = "quiet_from" if from_min is None else "quiet_until"
        yield Fault(missing, None, "quiet hours need both a beginning and an end")
    elif from_min is not None and until_min is not None:
        yield from in_range("quiet_from", from_min, 0, _LAST_MINUTE, "minutes after midnight")
        yield from in_range("quiet_until", until_min, 0, _LAST_MINUTE, "minutes after midnight")
        if from_min == until_min:
            yield Fault("quiet_until", until_min, "must differ from the beginning, or nothing could ever charge")
