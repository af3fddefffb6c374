"""Safety: inspections, reported signs, the clearance of outlets and leads derived from evidence, and rechecks.

Words: inspection, observation (C1, C2, C3, FI), check, sign, incident, report, clearance, recheck.
Announces UseStopped, and HouseholdChanged (through households) when evidence changes; hears HouseholdChanged.
"""
