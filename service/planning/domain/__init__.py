"""Charging physics, the week as bounds on a path, the exact solver and the plan it becomes.

Order of events in ``week.plan_household``: segments (what is needed by when, and where energy
may go) -> path_kernel (least shortfall, least cost, earliest) -> plan, shortfalls, working.
"""
