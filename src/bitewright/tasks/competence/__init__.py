"""Keep attempts, and tell what a person or a class can do."""
