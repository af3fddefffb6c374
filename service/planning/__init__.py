"""Planning: the seven-day plan of each household, replanning, and what is read of plans.

Words: plan, block, stay, shortfall, run, chunk, working.
Announces PlanChanged; hears TariffChanged, PricesArrived, HouseholdChanged and the clock.
"""
