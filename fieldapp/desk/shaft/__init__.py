"""One shaft as screens show it: its stages, clocks, timeline and head."""
