"""Pure rules of reminders: which step of a recheck is due, and what a message says as values."""
