"""Pure ground that every feature stands on: errors, half-hours, days, money, units, working.

Nothing here knows a web framework, a database or the time of day; ``clock`` is the one door
through which the present enters, and it is passed as an argument.
"""
