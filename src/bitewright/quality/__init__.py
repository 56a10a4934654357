"""What is good: measurements, views, criteria, ratings."""
