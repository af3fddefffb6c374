"""What reminders do: tell of stops, tell members that charging times moved, and remind them of rechecks."""

from service.reminders.operations.plan_news import tell_plan_changed as tell_plan_changed
from service.reminders.operations.rechecks import households_to_remind as households_to_remind
from service.reminders.operations.rechecks import remind_rechecks as remind_rechecks
from service.reminders.operations.rechecks import schemes_with_rechecks as schemes_with_rechecks
from service.reminders.operations.safety_news import tell_inspection_stopped as tell_inspection_stopped
from service.reminders.operations.safety_news import tell_use_stopped as tell_use_stopped
