"""What a person can do, with how much evidence: attempts at items, and what they tell."""
