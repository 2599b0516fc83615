"""Commands that decide: release, hold, withdraw."""

from __future__ import annotations

from fieldapp.commands.asking import Add


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
