"""Widgets: tokens, type, keys, shapes, the base plan and the frame that every screen stands in.

They take text and states as properties and give events; they know no desk, no screen and no record.
Import the module that is needed: importing the package alone loads nothing.
"""
