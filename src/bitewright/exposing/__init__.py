"""What is exposed: receptor placed and seated, tube aimed, landmarks projected, hands' scatter."""
