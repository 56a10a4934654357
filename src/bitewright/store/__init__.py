"""The store: a log's entries in SQLite or PostgreSQL, names apart, films beside them."""
