"""The mouth as light outlines: teeth, arches, jaws, their contacts, and the names of their places."""
