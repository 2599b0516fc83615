"""Loads the kv file that stands beside a module, once in a process.

Kivy applies the rules twice when a file is loaded twice; nothing here does that.
"""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder

_loaded: set[str] = set()


def load_beside(module_file: str) -> None:
    """Load ``name.kv`` beside ``name.py``; a second call for the same module does nothing."""
    kv = str(Path(module_file).with_suffix(".kv"))
    if kv not in _loaded:
        Builder.load_file(kv)
        _loaded.add(kv)
