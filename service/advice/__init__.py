"""Verdicts with their working: is the lead enough, which tariff, what else to move, a charging point, where it goes."""
