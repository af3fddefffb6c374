"""JSON shapes of advice."""
