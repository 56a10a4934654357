"""What a running server notes for the next one and for `bitewright link`."""
