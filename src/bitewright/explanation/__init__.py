"""Why a film came out as it did: its pattern, the movement that mends it, and how sure that is."""
