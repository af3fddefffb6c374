"""Reminders: what to tell whom, and when.

Words: reminder, lead time, step.  Announces nothing; hears PlanChanged and UseStopped.
"""
