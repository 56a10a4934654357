"""Exercises with a hidden truth: what is wrong, what a person answers, and how well."""
