"""Safety: inspections, the clearance of each outlet derived from evidence, and rechecks.

Words: inspection, observation (C1, C2, C3, FI), clearance, recheck.
Announces HouseholdChanged (through households) when evidence changes; hears nothing.
"""
