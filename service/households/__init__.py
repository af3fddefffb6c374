"""Households: homes, their supply, circuits, outlets, leads, vehicles, routines and journeys.

Words: household, supply, circuit, run, outlet, lead, vehicle, routine, journey, contract.
Announces HouseholdChanged; hears nothing.
"""
