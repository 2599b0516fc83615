"""A file that cannot be kept as a picture; apart from the reading, so that nothing heavy comes with it."""

from __future__ import annotations


class PictureRefused(Exception):
    """A file cannot be kept as a picture; nothing was saved.  Its text is a sentence that was said."""
