"""The table: which event runs which handlers, and what the clock asks for.  Read it top to bottom."""

from service.accounts import jobs as accounts
from service.advice import jobs as advice
from service.households import jobs as households
from service.households.domain.events import HouseholdChanged, OutletsChanged
from service.infrastructure.idempotency import forget_old_replies
from service.infrastructure.retention import clear_events_and_mail_text
from service.infrastructure.tasks import ClockJob, Subscription
from service.planning import jobs as planning
from service.planning.domain.events import PlanChanged
from service.reimbursement.domain.events import ClaimDecided, ClaimQueried
from service.reminders import jobs as reminders
from service.safety import jobs as safety
from service.safety.domain.events import ExtensionStopped, InspectionStopped, MadeStricter, UseStopped
from service.tariffs.domain.events import PricesArrived, TariffChanged

SUBSCRIPTIONS = (
    Subscription(TariffChanged, planning.replan_after_tariff_change),
    Subscription(PricesArrived, planning.replan_after_prices_arrived),
    Subscription(UseStopped, reminders.tell_of_stop),
    Subscription(InspectionStopped, reminders.tell_of_failed_inspection),
    Subscription(ExtensionStopped, reminders.tell_of_extension_lead),
    Subscription(MadeStricter, reminders.tell_of_stricter_answer),
    Subscription(OutletsChanged, safety.follow_changed_outlets),
    Subscription(OutletsChanged, reminders.tell_of_lost_outlets),
    Subscription(HouseholdChanged, safety.refresh_standing_after_household_change),
    Subscription(HouseholdChanged, planning.replan_after_household_change),
    Subscription(PlanChanged, reminders.tell_members_of_plan_change),
    Subscription(ClaimQueried, reminders.tell_of_queried_claim),
    Subscription(ClaimDecided, reminders.tell_of_decided_claim),
)

CLOCK_JOBS = (
    ClockJob("a tariff version comes into view", 60, planning.replan_for_versions_in_view),
    ClockJob("a new day has begun somewhere", 60, planning.replan_for_new_day),
    ClockJob("a coming shortfall is told", 300, reminders.tell_coming_shortfalls),
    ClockJob("rechecks fall due", 300, reminders.remind_rechecks_due),
    ClockJob("what is overdue rises", 300, reminders.tell_what_is_overdue),
    ClockJob("unread safety notices rise", 60, reminders.raise_unread_notices),
    ClockJob("rules of rechecks come into force", 21600, safety.set_recheck_dates_anew),
    ClockJob("old runs and plans are cleared", 3600, planning.clear_old_plans),
    ClockJob("old replies are cleared", 3600, forget_old_replies),
    ClockJob("old events and mail texts are cleared", 3600, clear_events_and_mail_text),
    ClockJob("ended sessions are cleared", 3600, accounts.clear_ended_sessions),
    ClockJob("messages with an electrician's link are blanked", 300, safety.forget_sent_links),
    ClockJob("uploads without a row are swept", 3600, safety.sweep_unnamed_files),
    ClockJob("past journeys are forgotten", 3600, households.forget_past_journeys),
    ClockJob("works at homes are reckoned", 60, advice.reckon_upgrades),
    ClockJob("old meter readings are forgotten", 21600, households.forget_old_readings),
    ClockJob("old charging records are forgotten", 21600, households.forget_old_charging),
)
