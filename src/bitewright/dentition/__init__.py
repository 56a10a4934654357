"""What is in the mouth: tooth names, sizes, arches, contacts, outlines, room for a receptor."""
