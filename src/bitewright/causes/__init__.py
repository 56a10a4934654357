"""Why a film is as it is, and which movement mends it."""
