"""Starts Basenote from the command line; the only place where the parts are put together."""

from __future__ import annotations

import os
import sys

from fieldapp.cli import run


def main() -> None:
    """Run the command line and leave with its exit code."""
    # Maps of a base are small: more threads of linear algebra only wait for each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
