"""Papers: written from the record, signed in order, verified."""
