"""Questions over the whole scheme, the safety file of one home, and what is done for many homes at once."""

from service.reporting.operations.desk_actions import AskedVisits as AskedVisits
from service.reporting.operations.desk_actions import ask_visits as ask_visits
from service.reporting.operations.desk_actions import send_check_reminders as send_check_reminders
from service.reporting.operations.lists import SORTS as SORTS
from service.reporting.operations.lists import HomeFilter as HomeFilter
from service.reporting.operations.lists import HomeRow as HomeRow
from service.reporting.operations.lists import MailFilter as MailFilter
from service.reporting.operations.lists import MailRow as MailRow
from service.reporting.operations.lists import count_homes_by_tariff as count_homes_by_tariff
from service.reporting.operations.lists import list_homes as list_homes
from service.reporting.operations.lists import list_mail as list_mail
from service.reporting.operations.safety_desk import DESK_SORTS as DESK_SORTS
from service.reporting.operations.safety_desk import MISSING as MISSING
from service.reporting.operations.safety_desk import TOLD as TOLD
from service.reporting.operations.safety_desk import DeskFilter as DeskFilter
from service.reporting.operations.safety_desk import DeskRow as DeskRow
from service.reporting.operations.safety_desk import count_by_clearance as count_by_clearance
from service.reporting.operations.safety_desk import desk_rows as desk_rows
from service.reporting.operations.safety_desk import list_areas as list_areas
from service.reporting.operations.safety_desk import list_desk as list_desk
from service.reporting.operations.safety_desk import matching_ids as matching_ids
from service.reporting.operations.safety_file import get_safety_file as get_safety_file
