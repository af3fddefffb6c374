"""Rate sheets: bands of price, the windows in which each holds, and what makes a sheet complete.

A window that crosses midnight belongs to the day it starts on, and its tail falls on whatever day
comes next. So a sheet is checked over every pair of consecutive days that a calendar can bring:
three day kinds after three, within a month and across its end (a bank holiday can be proclaimed
in any month).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from service.common.calendar import DayKind
from service.common.errors import Fault, Rejected
from service.common.money import MAX_PENCE, UP_PER_PENNY, format_pence
from service.tariffs.domain.day_words import KINDS, spans_in_words

HALF_HOURS_A_DAY = 48
NAME_LENGTH_MAX = 60
EVERY_DAY = frozenset(DayKind)
EVERY_MONTH = frozenset(range(1, 13))

Cells = NDArray[np.bool_]  # shape (12 months, 3 day kinds, 48 half-hours)


@dataclass(frozen=True)
class Window:
    """A time of day on chosen days: [starts_at_min, ends_at_min) in minutes after midnight.

    An end at or before the start means the next day, so 07:00 to 07:00 is a whole day from 07:00;
    0 and 1440 both end at midnight. Months are 1 to 12. Raises ``Rejected`` naming ``starts_at``,
    ``ends_at``, ``day_kinds`` or ``months``.
    """

    starts_at_min: int
    ends_at_min: int
    day_kinds: frozenset[DayKind] = EVERY_DAY
    months: frozenset[int] = EVERY_MONTH

    def __post_init__(self) -> None:
        faults = [
            *_time_faults("starts_at", self.starts_at_min, last_min=1410),
            *_time_faults("ends_at", self.ends_at_min, last_min=1440),
        ]
        if not self.day_kinds or not self.day_kinds <= EVERY_DAY:
            faults.append(Fault("day_kinds", sorted(self.day_kinds), "must name at least one known day kind"))
        if not self.months or not self.months <= EVERY_MONTH:
            faults.append(Fault("months", sorted(self.months), "must name at least one month, 1 to 12"))
        if faults:
            raise Rejected(*faults)

    @property
    def end_half_hour(self) -> int:
        """The end in half-hours after midnight of the starting day; past 48 on the next day."""
        days = 0 if self.ends_at_min > self.starts_at_min else HALF_HOURS_A_DAY
        return self.ends_at_min // 30 + days


@dataclass(frozen=True)
class Band:
    """A price [micro-pence per kWh] and its windows; an otherwise band holds when no window does."""

    name: str
    price_up: int
    windows: tuple[Window, ...] = ()
    is_otherwise: bool = False

    def __post_init__(self) -> None:
        faults = []
        if not 0 < len(self.name.strip()) <= NAME_LENGTH_MAX:
            faults.append(Fault("name", self.name, f"must have 1 to {NAME_LENGTH_MAX} characters"))
        if abs(self.price_up) > MAX_PENCE * UP_PER_PENNY:
            faults.append(Fault("price", format_pence(self.price_up), f"must be at most {MAX_PENCE} pence in size"))
        if self.is_otherwise and self.windows:
            faults.append(Fault("windows", len(self.windows), "an otherwise band has no windows of its own"))
        if not self.is_otherwise and not self.windows:
            faults.append(Fault("windows", 0, "must hold at least one window, or the band be the otherwise band"))
        if faults:
            raise Rejected(*faults)


@dataclass(frozen=True)
class RateSheet:
    """The bands and standing charge [micro-pence per day] for a region and payment method.

    None means any region, or any payment method. A sheet of a half-hourly tariff has no bands.
    """

    region: str | None
    payment: str | None
    standing_up_per_day: int
    bands: tuple[Band, ...]


def check_sheets(sheets: Sequence[RateSheet], *, has_bands: bool = True) -> None:
    """Refuse sheets that do not give exactly one price at every time.

    Parameters
    ----------
    sheets : sequence of RateSheet
        The sheets of one version. Fields are named from "sheets", positions from 0.
    has_bands : bool
        False for a half-hourly tariff, whose sheets carry only the standing charge.

    Raises
    ------
    Rejected
        Naming every fault: overlap ("night and peak both cover 00:30-01:00 on weekdays in
        January"), gap, repeated (region, payment), negative standing charge, repeated band name,
        a second otherwise band, missing or needless bands.
    """
    faults = [] if sheets else [Fault("sheets", 0, "must hold at least one rate sheet")]
    seen: dict[tuple[str | None, str | None], int] = {}
    for position, sheet in enumerate(sheets):
        first = seen.setdefault((sheet.region, sheet.payment), position)
        if first != position:
            words = f"sheets {first + 1} and {position + 1} are both for {sheet_words(sheet.region, sheet.payment)}"
            faults.append(Fault(f"sheets.{position}.region", sheet.region, words))
        faults.extend(fault.under(f"sheets.{position}") for fault in _sheet_faults(sheet, has_bands=has_bands))
    if faults:
        raise Rejected(*faults)


def check_own_windows(sheet: RateSheet, windows: Mapping[str, tuple[Window, ...]]) -> None:
    """Refuse a meter's own windows if with them the sheet no longer gives exactly one price.

    Raises ``Rejected`` with fields under "windows".
    """
    faults = list(_cover_faults(with_own_windows(sheet, windows)))
    if faults:
        raise Rejected(*(Fault("windows", fault.value, fault.rule) for fault in faults))


def with_own_windows(sheet: RateSheet, windows: Mapping[str, tuple[Window, ...]]) -> RateSheet:
    """Return the sheet with a meter's own windows in place of those of the bands they name.

    Raises ``Rejected`` if a name is no band of the sheet, or is the otherwise band.
    """
    windowed = {band.name for band in sheet.bands if not band.is_otherwise}
    strangers = [name for name in windows if name not in windowed]
    if strangers:
        rule = "is not a band with windows in this tariff"
        raise Rejected(*(Fault(f"windows.{name}", name, f"{name!r} {rule}") for name in strangers))
    bands = tuple(replace(band, windows=tuple(windows.get(band.name, band.windows))) for band in sheet.bands)
    return replace(sheet, bands=bands)


def sheet_words(region: str | None, payment: str | None) -> str:
    """Return a region and payment method in words.

    >>> sheet_words("north", None)
    'region north and any payment method'
    """
    return f"{f'region {region}' if region else 'any region'} and {payment or 'any payment method'}"


def band_cells(windows: Sequence[Window]) -> tuple[Cells, Cells]:
    """Return which half-hours the windows cover, by the day on which they start.

    Returns
    -------
    own, tail : bool arrays, shape (12, 3, 48)
        Half-hours of the starting day itself, and of the day after it; indexed by the month and
        kind of the starting day in both.
    """
    two_days = np.zeros((12, len(KINDS), 2 * HALF_HOURS_A_DAY), dtype=np.bool_)
    for window in windows:
        months = [month - 1 for month in sorted(window.months)]
        kinds = [position for position, kind in enumerate(KINDS) if kind in window.day_kinds]
        two_days[np.ix_(months, kinds, range(window.starts_at_min // 30, window.end_half_hour))] = True
    return two_days[:, :, :HALF_HOURS_A_DAY], two_days[:, :, HALF_HOURS_A_DAY:]


@lru_cache(maxsize=1024)
def band_tables(sheet: RateSheet) -> tuple[NDArray[np.int16], NDArray[np.int16]]:
    """Return the band in force, as positions in ``sheet.bands``, as ``band_cells`` lays cells out.

    -1 where no window holds, -2 where windows of different bands do. Shape (12, 3, 48) each.
    """
    tables = np.full((2, 12, len(KINDS), HALF_HOURS_A_DAY), -1, dtype=np.int16)
    for position, band in enumerate(sheet.bands):
        covered = np.stack(band_cells(band.windows))
        tables = np.where(covered, np.where(tables == -1, position, -2), tables).astype(np.int16)
    tables.setflags(write=False)
    return tables[0], tables[1]


def _time_faults(field: str, minutes: int, *, last_min: int) -> Iterator[Fault]:
    if not 0 <= minutes <= last_min:
        yield Fault(field, minutes, f"must lie between 0 and {last_min} minutes after midnight")
    elif minutes % 30:
        yield Fault(field, minutes, "must fall on a whole half-hour")


def _sheet_faults(sheet: RateSheet, *, has_bands: bool) -> Iterator[Fault]:
    standing = format_pence(sheet.standing_up_per_day)
    if sheet.standing_up_per_day < 0:
        yield Fault("standing_per_day", standing, "must not be negative")
    elif sheet.standing_up_per_day > MAX_PENCE * UP_PER_PENNY:
        yield Fault("standing_per_day", standing, f"must be at most {MAX_PENCE} pence")
    if has_bands == bool(sheet.bands):
        yield from _name_faults(sheet)
        yield from _cover_faults(sheet)
    elif has_bands:
        yield Fault("bands", 0, "must hold at least one rate band")
    else:
        yield Fault("bands", len(sheet.bands), "a half-hourly tariff has no rate bands")


def _name_faults(sheet: RateSheet) -> Iterator[Fault]:
    seen: set[str] = set()
    otherwise: str | None = None
    for position, band in enumerate(sheet.bands):
        if band.name.strip().casefold() in seen:
            yield Fault(f"bands.{position}.name", band.name, f"two bands are named {band.name}")
        seen.add(band.name.strip().casefold())
        if band.is_otherwise and otherwise is not None:
            rule = f"{otherwise} and {band.name} are both the otherwise band"
            yield Fault(f"bands.{position}.is_otherwise", True, rule)
        otherwise = band.name if band.is_otherwise else otherwise


def _cover_faults(sheet: RateSheet) -> Iterator[Fault]:
    """Yield the overlaps between bands, then the gaps if no otherwise band fills them."""
    if not sheet.bands:
        return
    cells = [band_cells(band.windows) for band in sheet.bands]
    for (first, one), (second, other) in combinations(enumerate(sheet.bands), 2):
        for span, days in spans_in_words(_overlap(cells[first], cells[second])):
            yield Fault(f"bands.{second}.windows", span, f"{one.name} and {other.name} both cover {span} {days}")
    if not any(band.is_otherwise for band in sheet.bands):
        for span, days in spans_in_words(_gap(cells)):
            yield Fault("bands", span, f"no band covers {span} {days}")


def _overlap(one: tuple[Cells, Cells], other: tuple[Cells, Cells]) -> Cells:
    """Return the cells of a day that two bands both cover after some day that can precede it."""
    (own, tail), (other_own, other_tail) = one, other
    met: Cells = own & other_own | own & _after_some_day(other_tail) | other_own & _after_some_day(tail)
    return met | _after_some_day(tail & other_tail)


def _gap(cells: Sequence[tuple[Cells, Cells]]) -> Cells:
    """Return the cells of a day that no band covers after some day that can precede it."""
    own = np.any([own for own, _ in cells], axis=0)
    tail = np.any([tail for _, tail in cells], axis=0)
    gap: Cells = ~own & _after_some_day(~tail)
    return gap


def _after_some_day(tails: Cells) -> Cells:
    """Return, for each month, what some day of the same or the previous month brings; shape (12, 1, 48)."""
    by_month = tails.any(axis=1, keepdims=True)
    either: Cells = by_month | np.roll(by_month, 1, axis=0)
    return either
