"""The radiograph of an exposure: paths through solids, and what a receptor makes of them."""
