"""The best aim for a view, and the room around it."""
