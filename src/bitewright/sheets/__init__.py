"""A spreadsheet as people keep it, understood: its table, what its columns and words mean."""
