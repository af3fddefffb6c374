"""Pure rules of advice: from what is known of a home to a verdict with its working."""
