"""Keep a log of exposures, and read it."""
