"""Notices and calls, calendars, mail settings, muting, and sending again, over HTTP."""

from service.reminders.api import delivery, feeds, mute, notices, settings
from service.reminders.api.routes import blueprint as blueprint

__all__ = ["blueprint", "delivery", "feeds", "mute", "notices", "settings"]
