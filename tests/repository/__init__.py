"""What must hold for the repository itself: layers, sizes, words, pages, the built wheel."""
