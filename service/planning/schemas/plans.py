"""JSON shapes of plans, their week and working, runs, and the preview of a tariff change."""

import marshmallow as ma

from service.infrastructure.http.fields import Flag, Id, KilowattHours, Pence, StrictSchema, TextMap
from service.infrastructure.http.paging import PageQuery
from service.infrastructure.http.time_fields import CalendarDate, Instant

text, flag, whole = ma.fields.String, ma.fields.Boolean, ma.fields.Integer
WRITTEN_INSTANT = {"format": "date-time"}


def _instant(*, allow_none: bool = False) -> ma.fields.String:
    """An instant that the stored plan already holds as RFC 3339 text."""
    return text(required=True, allow_none=allow_none, metadata=WRITTEN_INSTANT)


def _pence(*, allow_none: bool = True) -> ma.fields.String:
    """Pence that the stored plan already holds as a decimal string; null where not known."""
    return text(required=True, allow_none=allow_none, metadata={"pattern": r"^-?[0-9]+(\.[0-9]{1,6})?$"})


def _number(*, allow_none: bool = False) -> ma.fields.Raw:
    return ma.fields.Raw(required=True, allow_none=allow_none, metadata={"type": "number"})


class BlockSchema(StrictSchema):
    """A run of half-hours in which one vehicle charges."""

    starts_at = _instant()
    ends_at = _instant()
    outlet_id = text(required=True, allow_none=True)
    outlet_label = text(required=True, allow_none=True)
    energy_kwh = _number()
    cost_pence = _pence()
    why = ma.fields.Nested(
        lambda: BlockWhySchema(), required=True, allow_none=True, metadata={"description": "null in a brief answer"}
    )


class BlockWhySchema(StrictSchema):
    """Why a block is there: what decides its amount, the journey served, its prices, what the next best adds."""

    binding = text(required=True, metadata={"enum": ["need", "battery", "price", "hours"]})
    serves_leaves_at = _instant(allow_none=True)
    lowest_price_pence = _pence()
    highest_price_pence = _pence()
    next_best_pence = _pence()


class StaySchema(StrictSchema):
    """A time at home, with the charging planned in it."""

    arrives_at = _instant()
    leaves_at = _instant(allow_none=True)
    before_percent = whole(required=True)
    reached_percent = whole(required=True)
    energy_kwh = _number()
    cost_pence = _pence()
    blocks = ma.fields.List(ma.fields.Nested(BlockSchema), required=True)


class ShortfallSchema(StrictSchema):
    """Energy a journey needs that no plan can deliver, with its cause."""

    leaves_at = _instant()
    short_kwh = _number()
    short_miles = _number()
    is_reserve_only = flag(required=True)
    cause = text(required=True)
    next_step = text(required=True)


class TurnSchema(StrictSchema):
    """Whose an outlet is from one swap to the next, and what another car there would cost."""

    starts_at = _instant()
    ends_at = _instant()
    outlet_id = text(required=True)
    outlet_label = text(required=True)
    vehicle_id = text(required=True)
    label = text(required=True)
    reason = text(required=True, allow_none=True)


class OtherWaySchema(StrictSchema):
    """What another rule would have cost in the same week, and left short."""

    way = text(required=True, metadata={"enum": ["on_arrival", "cheapest_five_hours", "no_charging"]})
    energy_kwh = _number()
    cost_pence = _pence()
    short_kwh = _number()


class VehiclePlanSchema(StrictSchema):
    """One vehicle's week."""

    vehicle_id = text(required=True)
    label = text(required=True)
    outlet_id = text(required=True, allow_none=True)
    outlet_label = text(required=True, allow_none=True)
    limit_a = _number(allow_none=True)
    how_set = text(required=True)
    charge_percent = whole(required=True)
    charge_doubt_percent = whole(required=True, allow_none=True)
    charge_basis = text(required=True, metadata={"enum": ["read", "estimated", "not_known"]})
    energy_kwh = _number()
    cost_pence = _pence()
    on_arrival_cost_pence = _pence()
    unpriced_kwh = _number()
    other_ways = ma.fields.List(ma.fields.Nested(OtherWaySchema), required=True)
    stays = ma.fields.List(ma.fields.Nested(StaySchema), required=True)
    shortfalls = ma.fields.List(ma.fields.Nested(ShortfallSchema), required=True)


class PlanSchema(StrictSchema):
    """The plan in force; ``is_current`` is false while a newer state of the home is being worked out.

    ``is_stopped``: a bad sign was reported after the plan was made, so that it has no block any more.
    """

    id = text(required=True)
    household_id = text(required=True)
    zone = text(required=True)
    computed_at = _instant()
    starts_at = _instant()
    ends_at = _instant()
    is_current = flag(required=True)
    is_stopped = flag(required=True)
    stopped_at = _instant(allow_none=True)
    tariff_name = text(required=True, allow_none=True)
    turns = ma.fields.List(ma.fields.Nested(TurnSchema), required=True)
    sharing_gap_pence = _pence()
    vehicles = ma.fields.List(ma.fields.Nested(VehiclePlanSchema), required=True)
    energy_kwh = _number()
    cost_pence = _pence()
    on_arrival_cost_pence = _pence()
    missing_prices = ma.fields.List(text(), required=True)
    cautions = ma.fields.List(text(), required=True)


class PlanQuery(StrictSchema):
    """How much of a plan is asked for."""

    is_brief = Flag(
        load_default=False, is_query=True,
        metadata={"description": "true: why each block is there and what other ways would cost are left out"},
    )


class WeekDaySchema(StrictSchema):
    """A local day of the chart: its first half-hour, counted from the plan's start, and how many it has."""

    on = CalendarDate(required=True)
    first = whole(required=True)
    count = whole(required=True)


class WeekVehicleSchema(StrictSchema):
    """What one vehicle draws in each half-hour."""

    vehicle_id = text(required=True)
    label = text(required=True)
    energy_kwh = ma.fields.List(ma.fields.Float(), required=True)


class WeekSchema(StrictSchema):
    """The plan's half-hours: price, whether it is known, and what each vehicle draws."""

    zone = text(required=True)
    starts_at = Instant(required=True)
    is_stopped = flag(required=True)
    count = whole(required=True)
    days = ma.fields.List(ma.fields.Nested(WeekDaySchema), required=True)
    price_pence_per_kwh = ma.fields.List(text(), required=True)
    is_price_known = ma.fields.List(flag(), required=True)
    vehicles = ma.fields.List(ma.fields.Nested(WeekVehicleSchema), required=True)


class PlanStepSchema(StrictSchema):
    """One step of a working."""

    what = text(required=True)
    inputs = TextMap(required=True)
    rule = text(required=True)
    source = text(required=True)
    result = text(required=True)


class PlanWorkingSchema(StrictSchema):
    """How the plan came about."""

    steps = ma.fields.List(ma.fields.Nested(PlanStepSchema), required=True)


class TotalsSchema(StrictSchema):
    """The week's totals of one home; nothing of when its cars leave."""

    week_energy_kwh = KilowattHours(required=True, attribute="energy_wh")
    week_cost_pence = Pence(required=True, allow_none=True, attribute="cost_up")
    week_on_arrival_cost_pence = Pence(required=True, allow_none=True, attribute="on_arrival_cost_up")
    week_short_kwh = KilowattHours(required=True, attribute="short_wh")
    planned_at = Instant(required=True)


class RunSchema(StrictSchema):
    """A run that replans many homes, and how far it is."""

    id = text(required=True)
    reason = text(required=True)
    label = text(required=True)
    created_at = Instant(required=True)
    finished_at = Instant(required=True, allow_none=True)
    household_count = whole(required=True)
    chunk_count = whole(required=True)
    chunks_done = whole(required=True)
    done_count = whole(required=True)
    changed_count = whole(required=True)
    moved_count = whole(required=True)


class RunQuery(PageQuery):
    """Which runs."""

    version_id = Id(load_default=None)


class PreviewSchema(StrictSchema):
    """What publishing a version would do to the homes on its tariff; null where they are fewer than five."""

    household_count = whole(required=True)
    checked_count = whole(required=True, metadata={"description": "Homes really planned for this answer"})
    price_changes_count = whole(required=True, allow_none=True)
    blocks_move_count = whole(required=True, allow_none=True)
    new_shortfall_count = whole(required=True, allow_none=True)
    unpriced_count = whole(
        required=True, allow_none=True, metadata={"description": "Homes left out of the costs: not all is priced"}
    )
    week_cost_before_pence = Pence(required=True, allow_none=True, attribute="week_cost_before_up")
    week_cost_after_pence = Pence(required=True, allow_none=True, attribute="week_cost_after_up")
