"""Ask the log: rates, changes, people, targets, reports."""
