"""What a home is, as values: equipment and its limits, trips of a week, and what changed."""
