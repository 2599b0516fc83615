"""What it is worth: the base disk, the soundings on it, and what they say of it.

Pure numpy and standard library: no clock, no file, no random source.  Lengths in metres, areas in
square metres.  A point without a reading is unknown here too, never clean.
"""
