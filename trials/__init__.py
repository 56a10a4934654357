"""What checks Bitewright against anatomy, films and formulae of others; not installed with it."""
