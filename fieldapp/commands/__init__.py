"""The commands of the command line, grouped by what they are about.

Each module adds its commands to the parser; the desk does the work and is imported when a command runs.
"""
