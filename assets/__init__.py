"""Acceptance sets and caution texts: data that comes with the program."""
