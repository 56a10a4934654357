"""What can be named: equipment, mouths, views, schemes, packaged and one's own."""
