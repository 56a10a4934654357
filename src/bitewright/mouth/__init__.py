"""The mouth as light outlines: teeth, arches, jaws, contacts, and the names of places."""
