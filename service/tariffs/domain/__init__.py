"""Pure rules of tariffs: rate sheets, contract terms, the price of a half-hour, price files."""
