"""The column above the base: head, pressure, funnel time, airlift.

Pure: no clock, no file.  Lengths in metres, densities in kg/m3, pressures in the unit of the name.
Time without a reading counts as not shown; nothing is interpolated into a reading.
"""
