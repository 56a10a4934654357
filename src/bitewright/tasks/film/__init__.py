"""Films made and kept: files, the mouths they are taken of, the contact sheet."""
