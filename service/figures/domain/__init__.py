"""The book of figures: how one is found for a day, which names there are, and what may be recorded."""
