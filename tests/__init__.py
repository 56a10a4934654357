"""Bitewright's tests. Each folder tells one kind of truth; CONTRIBUTING.md says which."""
