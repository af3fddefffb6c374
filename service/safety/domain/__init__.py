"""What evidence says of an outlet at an instant, and when things fall due again."""
