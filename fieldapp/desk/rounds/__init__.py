"""A round of soundings: its form, what is typed, what the limits say so far, an earlier one beside it."""
