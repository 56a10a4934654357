"""What goes to disk: whole or not at all, swept after a kill, one writer at a time."""
