"""What a log says of one exposure: fields, faults, entries and how entries follow one another."""
