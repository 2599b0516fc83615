"""What is asked: acceptance sets, one rule a function, findings, base standing, release.

Pure: the record and the moment come in, findings come out.  Silence is never a pass.
"""
