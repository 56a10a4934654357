"""A visit: its films read together, and whether another exposure is worth it."""
