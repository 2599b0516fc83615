"""Reads a plain log: a text that an inspector could have typed from the paper log.

Text in, entries out, or PlainLogRefused with every problem; nothing half-made.  The same text gives the
same entries with the same identifiers.  The form is described in the README.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from fieldapp.exchange.bounded import read_at_most
from fieldapp.exchange.plain_entry import PlainLog
from fieldapp.exchange.plain_lines import MOST_BYTES, blocks_of, check_is_log, lines_of
from fieldapp.exchange.plain_making import Making
from fieldapp.exchange.plain_problem import Faults

_SHOWN_BEFORE: Final = 30


def read_plain_log(text: str, name: str) -> PlainLog:
    """Entries of a plain log.

    Parameters
    ----------
    text
        The whole log, at most 2 MB and 500 characters in a line.
    name
        The file name, for the problems.

    Raises
    ------
    PlainLogRefused
        With every problem of the file: line, field, what was read, what was expected.
    """
    faults = Faults(name)
    check_is_log(text, faults)
    heading, blocks = blocks_of(text, faults)
    if not blocks and not faults.found:
        faults.add(0, "entries", "nothing", "at least one entry, such as '07:40  note'")
    making = Making(faults)
    for block in blocks:
        making.take(block)
    faults.refuse_if_any()
    return PlainLog(name, heading.project or "", tuple(making.entries))


def load_plain_log(path: Path) -> PlainLog:
    """Entries of the plain log at ``path``, UTF-8 with or without a byte order mark.

    Raises PlainLogRefused as read_plain_log does, also for a file that is too large or not UTF-8, and
    OSError when the file cannot be opened.
    """
    faults = Faults(path.name)
    content = read_at_most(path, MOST_BYTES)
    if content is None:
        faults.add(0, "size", "a larger file", f"at most {MOST_BYTES // 1_000_000} MB")
        faults.refuse_if_any()
        content = b""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        check_is_log(content.decode("utf-8-sig", "replace"), faults)
        _add_encoding(content, problem.start, faults)
        faults.refuse_if_any()
        raise
    return read_plain_log(text, path.name)


def _add_encoding(content: bytes, wrong: int, faults: Faults) -> None:
    """Say which byte is no UTF-8, what stands before it in its line, and what to do."""
    before = lines_of(content[:wrong].decode("utf-8-sig"))
    read = f"byte {content[wrong]:02X} after '{before[-1].strip()[-_SHOWN_BEFORE:]}'"
    faults.add(len(before), "encoding", read, "UTF-8; save the file as UTF-8 and look at this line again")
