"""From an exposure to landmarks and film."""
