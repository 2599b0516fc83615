"""Paper: what an engineer files, drawn from facts that are handed in.

Reports read no file but the fonts, know no clock, and give the same bytes for the same facts.
Unknown is written as "not shown", never as a blank or a zero.
"""
