"""The command line: the same desk as the screens, in plain text or JSON.

Exit codes: 0 done, 1 something asked for is not met, not shown or damaged, 2 the request cannot be
carried out.  A user's mistake gets a sentence, never a traceback.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import Final

from fieldapp.commands import (
    decision_commands,
    key_commands,
    paper_commands,
    record_commands,
    travel_commands,
    worth_commands,
)
from fieldapp.commands.asking import DONE, NOT_AS_ASKED, REFUSED, told_of_file

__all__ = ["DONE", "NOT_AS_ASKED", "REFUSED", "parser", "run"]
_GROUPS: Final = (
    record_commands,
    worth_commands,
    decision_commands,
    paper_commands,
    travel_commands,
    key_commands,
)


def run(words: Sequence[str]) -> int:
    """Carry out one command and return the exit code."""
    asked = parser().parse_args(words)
    if asked.command is None:
        parser().print_help()
        return DONE
    from fieldapp.desk.problems import PROBLEMS

    try:
        code: int = asked.act(asked)
        return code
    except PROBLEMS as problem:
        print(problem, file=sys.stderr)
        return REFUSED
    except (EOFError, KeyboardInterrupt):
        print("\nStopped. What was said to be recorded is recorded; nothing else was.", file=sys.stderr)
        return REFUSED
    except BrokenPipeError:
        sys.stdout = None  # whoever read has gone; nothing is left to flush to
        return DONE
    except OSError as problem:
        print(told_of_file(problem), file=sys.stderr)
        return REFUSED


def parser() -> argparse.ArgumentParser:
    """The words that the command line understands, with their help."""
    top = argparse.ArgumentParser(
        prog="basenote",
        description="The base cleanliness record of drilled shafts and rock sockets: kept, held against an "
        "acceptance set, signed. Contract documents, local codes and licensed engineers decide.",
    )
    commands = top.add_subparsers(dest="command", metavar="command")
    for group in _GROUPS:
        group.add_commands(commands.add_parser)
    return top
