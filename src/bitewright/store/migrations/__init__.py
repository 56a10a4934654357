"""Steps from each released schema of the store to the next."""
