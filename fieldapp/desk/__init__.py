"""The use cases: the one door for screens and command line, one function a command or question.

Grouped by who asks: inspector, engineer, office.  Heavy parts are imported where they are needed, so
that the first screen can load without them.
"""
