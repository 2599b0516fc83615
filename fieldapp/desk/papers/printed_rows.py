"""Plain data that a paper states, read back with care: canonical, bounded, field by field, or refused.

Whoever made the paper made the data in it too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from typing import Any, Final, Generic, TypeVar

from fieldapp.record.codec import read_time
from fieldapp.record.said import said, said_of
from fieldapp.record.strict_json import NewerFormat, read_format, written_one_way

MOST_ROWS: Final = 1000
_TEXTS: Final = "tuple[str, ...]"
T = TypeVar("T")


class UnreadablePrinted(ValueError):
    """Printed facts that are not whole; the text says what is wrong, as part of a sentence."""


class NewerPrinted(ValueError):
    """Printed facts of a newer program, which cannot be read here and may be whole."""


@dataclass(frozen=True, slots=True)
class PrintedForm(Generic[T]):
    """How one kind of printed facts is told: its format, the fields of each version, both ways."""

    name: str
    fields_of: Mapping[int, frozenset[str]]
    largest_bytes: int
    reads: Callable[[dict[str, Any]], T]
    writes: Callable[[T], bytes]

    def read(self, data: bytes) -> T:
        """The facts out of an attached file.

        Raises
        ------
        UnreadablePrinted
            It is too large, not as this program writes it, or lacks a field.
        NewerPrinted
            A newer program wrote it.
        """
        if len(data) > self.largest_bytes:
            raise UnreadablePrinted(
                said("it is larger than {largest_bytes} bytes", largest_bytes=self.largest_bytes)
            )
        try:
            body = read_format(data, self.name, self.fields_of)
            found = self.reads(body)
            if written_one_way(body) != data or self.writes(found) != data:
                raise UnreadablePrinted(said("it is not written in the one way"))
        except (UnreadablePrinted, NewerPrinted):
            raise
        except NewerFormat as problem:
            raise NewerPrinted(said_of(problem)) from None
        except ValueError as problem:
            raise UnreadablePrinted(said_of(problem)) from None
        return found


def record_of(made: type[T], body: Any) -> T:
    """A record whose fields are all text or lists of text.  Raises UnreadablePrinted."""
    known = fields(made)  # type: ignore[arg-type]  # every record here is a dataclass
    if not isinstance(body, dict) or set(body) != {each.name for each in known}:
        raise UnreadablePrinted(said("it does not have the fields of its format"))
    values: dict[str, Any] = {
        each.name: tuple(text_of(text) for text in rows_of(body[each.name]))
        if each.type == _TEXTS
        else text_of(body[each.name])
        for each in known
    }
    return made(**values)


def rows_of(rows: Any, most: int = MOST_ROWS) -> list[Any]:
    """A list of at most so many rows.  Raises UnreadablePrinted."""
    if not isinstance(rows, list) or len(rows) > most:
        raise UnreadablePrinted(said("a list in it is no list, or too long"))
    return rows


def text_of(value: Any) -> str:
    """A text.  Raises UnreadablePrinted."""
    if not isinstance(value, str):
        raise UnreadablePrinted(said("a field in it is not text"))
    return value


def moment_of(body: Mapping[str, Any], name: str) -> datetime:
    """A time with its offset, in UTC.  Raises UnreadablePrinted, Impossible."""
    return read_time(text_of(body[name]), name).astimezone(UTC)
