"""Tables for anyone: every kind of entry, findings and credits as CSV or JSON, with a schema beside them."""
