"""JSON shapes of the scheme's lists."""

import marshmallow as ma

from service.infrastructure.http.fields import Choice, Flag, Id, KilowattHours, Pence, StrictSchema, Text
from service.infrastructure.http.paging import PageQuery, sort_field
from service.infrastructure.http.time_fields import CalendarDate, Instant
from service.infrastructure.mail.queue import MAIL_STATES
from service.reporting.operations import SORTS
from service.safety.domain.clearance import Clearance

text, whole = ma.fields.String, ma.fields.Integer


class HomeQuery(PageQuery):
    """Which homes, in which order."""

    search = Text(load_default=None, max_length=80)
    clearance = Choice(tuple(word.value for word in Clearance), load_default=None)
    tariff_id = Id(load_default=None)
    shortfall = Flag(load_default=None, is_query=True)
    overdue = Flag(load_default=None, is_query=True)
    sort = sort_field(*SORTS, usual="reference")


class HouseholdRowSchema(StrictSchema):
    """One home of the list: standing and totals."""

    id = text(required=True)
    reference = text(required=True)
    member_name = text(required=True)
    nation = text(required=True)
    region = text(required=True, allow_none=True)
    tariff_id = text(required=True, allow_none=True)
    tariff_name = text(required=True, allow_none=True)
    vehicle_count = whole(required=True)
    clearance = text(required=True)
    clearance_until = CalendarDate(required=True, allow_none=True, attribute="clearance_until_on")
    next_recheck_on = CalendarDate(required=True, allow_none=True)
    recheck_overdue = ma.fields.Boolean(required=True)
    week_energy_kwh = KilowattHours(required=True, allow_none=True, attribute="energy_wh")
    week_cost_pence = Pence(required=True, allow_none=True, attribute="cost_up")
    week_on_arrival_cost_pence = Pence(required=True, allow_none=True, attribute="on_arrival_cost_up")
    week_short_kwh = KilowattHours(required=True, allow_none=True, attribute="short_wh")
    planned_at = Instant(required=True, allow_none=True)


class MailQuery(PageQuery):
    """Which lines of the delivery record."""

    status = Choice(MAIL_STATES, load_default=None)
    kind = Text(load_default=None, max_length=40)
    household_id = Id(load_default=None)
    problem = Flag(load_default=None, is_query=True, metadata={"description": "Refused, given up, unknown or bounced"})
    sort = Choice(("-queued_at", "problems"), load_default="-queued_at")


class MailRowSchema(StrictSchema):
    """One message's fate: no address, no content."""

    id = text(required=True)
    kind = text(required=True)
    household_id = text(required=True, allow_none=True)
    household_reference = text(required=True, allow_none=True)
    status = text(required=True)
    queued_at = Instant(required=True)
    sent_at = Instant(required=True, allow_none=True)
    attempts = whole(required=True)
    reason = text(required=True, allow_none=True)
    bounced_at = Instant(required=True, allow_none=True)
    resend_of_id = text(required=True, allow_none=True)
    person = text(required=True, allow_none=True, metadata={"description": "Whose it is; never an address"})
    can_resend = ma.fields.Boolean(required=True)


class TariffUseSchema(StrictSchema):
    """How many homes are on a tariff today."""

    tariff_id = text(required=True)
    household_count = whole(required=True)


class TariffUsesSchema(StrictSchema):
    """The tariffs that have homes on them."""

    items = ma.fields.List(ma.fields.Nested(TariffUseSchema), required=True)
