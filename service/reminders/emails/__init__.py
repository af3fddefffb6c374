"""Messages out of values; every one in text and HTML, without an address or a word about who is at home."""

from service.reminders.emails.claims import claim_news as claim_news
from service.reminders.emails.layout import days_in_words as days_in_words
from service.reminders.emails.plan import SHOWN_TIMES_MAX as SHOWN_TIMES_MAX
from service.reminders.emails.plan import plan_changed as plan_changed
from service.reminders.emails.rechecks import check_asked as check_asked
from service.reminders.emails.rechecks import overdue_in_scheme as overdue_in_scheme
from service.reminders.emails.rechecks import recheck_due as recheck_due
from service.reminders.emails.safety import long_overdue as long_overdue
from service.reminders.emails.safety import made_stricter_at_home as made_stricter_at_home
from service.reminders.emails.safety import made_stricter_in_scheme as made_stricter_in_scheme
from service.reminders.emails.safety import ring_about as ring_about
from service.reminders.emails.safety import stopped_at_home as stopped_at_home
from service.reminders.emails.safety import stopped_in_scheme as stopped_in_scheme
from service.reminders.emails.shortfall import coming_shortfall as coming_shortfall
