"""The trained network at the edge: its weights opened, one film's heat maps asked for."""
