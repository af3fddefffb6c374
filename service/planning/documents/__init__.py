"""Plans as documents that other machines read."""
