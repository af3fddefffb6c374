"""Pure rules of paying back business miles."""
