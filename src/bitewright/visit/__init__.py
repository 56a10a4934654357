"""The films of one patient on one day: what they show together, and what is left unread."""
