"""Basenote: the base cleanliness record of drilled shafts and rock sockets."""
