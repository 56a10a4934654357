"""The light box: films, marks and decisions kept, and looked at."""
