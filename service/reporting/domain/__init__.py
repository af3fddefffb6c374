"""The safety file as values, and the words of the safety desk."""
