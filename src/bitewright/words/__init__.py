"""Every sentence about a result, made by typed functions. English."""
