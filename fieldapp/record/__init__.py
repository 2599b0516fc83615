"""What was seen: entries, the journal they make, and the shaft records folded from them.

Pure: no clock, no file, no random source.  Entries are frozen, checked when they are made, and
never changed; a later entry amends or strikes an earlier one with a reason.
"""
