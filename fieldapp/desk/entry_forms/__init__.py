"""Forms of every kind of entry: what to ask, the limits beside it, and the entry made of what was typed."""
