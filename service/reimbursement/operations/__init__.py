"""What can be done with trips, claims and statements."""
