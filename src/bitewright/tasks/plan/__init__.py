"""Plan a view, or predict an exposure."""
