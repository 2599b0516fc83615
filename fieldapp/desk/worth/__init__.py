"""What a base is worth and how long it stays clean, from the record."""
