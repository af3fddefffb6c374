"""What publishing a draft would do, worked out by really planning homes with it, nothing stored.

Bounded: past ``MOST_HOMES`` only the first so many homes are planned, and the answer says so.
"""

from dataclasses import dataclass
from datetime import UTC, datetime

from service.common.money import UP_PER_PENNY, round_half_up
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.plan_document import block_times, schedule, total_cost_up, total_short_wh
from service.planning.domain.week import plan_household
from service.planning.operations.gather import Prepared, prepare_homes
from service.planning.operations.runs import next_slot
from service.planning.operations.triggers import households_on_tariff
from service.tariffs.operations import get_version

MOST_HOMES = 300
"""Own choice: about a second of planning, so that the answer comes while a person waits."""

FEWEST_HOMES = 5
"""Below this many homes only their number is told: an odd draft on one home's tariff would spell out its week."""

WHOLE_POUND_UP = 100 * UP_PER_PENNY


@dataclass(frozen=True)
class Preview:
    """Counts over the homes really planned (``checked_count``) of all on the tariff.

    Costs are in whole pounds; everything but the number of homes is None below ``FEWEST_HOMES``.
    """

    household_count: int
    checked_count: int
    price_changes_count: int | None = None
    blocks_move_count: int | None = None
    new_shortfall_count: int | None = None
    week_cost_before_up: int | None = None
    week_cost_after_up: int | None = None
    unpriced_count: int | None = None


def preview_version(session: SchemeSession, tariff_id: str, version_id: str, *, at: datetime) -> Preview:
    """Plan the tariff's homes without and with a version, and count what differs."""
    get_version(session, tariff_id, version_id)
    homes = households_on_tariff(session, tariff_id, on=at.astimezone(UTC).date())
    if len(homes) < FEWEST_HOMES:
        return Preview(household_count=len(homes), checked_count=0)
    checked, slot = homes[:MOST_HOMES], next_slot(at)
    before = prepare_homes(session, checked, as_of_slot=slot)
    after = prepare_homes(session, checked, as_of_slot=slot, with_draft=version_id)
    changes = [_Change.between(old, new) for old, new in zip(before, after, strict=True)]
    priced = [change for change in changes if change.cost_before_up is not None and change.cost_after_up is not None]
    return Preview(
        household_count=len(homes),
        checked_count=len(checked),
        price_changes_count=sum(change.price_changes for change in changes),
        blocks_move_count=sum(change.blocks_move for change in changes),
        new_shortfall_count=sum(change.has_new_shortfall for change in changes),
        week_cost_before_up=_whole_pounds(sum(change.cost_before_up or 0 for change in priced)),
        week_cost_after_up=_whole_pounds(sum(change.cost_after_up or 0 for change in priced)),
        unpriced_count=len(changes) - len(priced),
    )


def _whole_pounds(cost_up: int) -> int:
    return round_half_up(cost_up, WHOLE_POUND_UP) * WHOLE_POUND_UP


@dataclass(frozen=True)
class _Change:
    price_changes: bool
    blocks_move: bool
    has_new_shortfall: bool
    cost_before_up: int | None
    cost_after_up: int | None

    @classmethod
    def between(cls, old: Prepared, new: Prepared) -> "_Change":
        before, after = plan_household(old.week.week), plan_household(new.week.week)
        view = (before.first_slot, before.end_slot)
        return cls(
            price_changes=old.week.prices.day_digest != new.week.prices.day_digest,
            blocks_move=block_times(schedule(old.week, before), *view) != block_times(schedule(new.week, after), *view),
            has_new_shortfall=total_short_wh(after) > total_short_wh(before),
            cost_before_up=total_cost_up(before),
            cost_after_up=total_cost_up(after),
        )
