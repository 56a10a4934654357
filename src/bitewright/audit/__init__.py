"""What a log of exposures tells: rates, change, fairness between operators, and aim."""
