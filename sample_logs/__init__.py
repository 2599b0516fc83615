"""The sample projects and what-if files, plain texts that a person can read."""
