"""Starts Basenote from the command line; the only place where the parts are put together."""

from __future__ import annotations

import sys

from fieldapp.cli import run


def main() -> None:
    """Run the command line and leave with its exit code."""
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
