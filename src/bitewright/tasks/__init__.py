"""One file a user's wish; the only place where science and edges meet."""
