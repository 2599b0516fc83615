"""Screens: each one module and one kv file of the same name.  They ask the desk through the session only."""
