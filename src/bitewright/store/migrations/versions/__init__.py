"""One step a file, numbered; a released one is never edited."""
