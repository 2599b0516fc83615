"""Bytes and plain values made wrong in the ways that damage, clumsy programs and malice make them wrong.

All of it follows from the given ``random.Random``, so a case is named by its seed.
"""

from __future__ import annotations

import contextlib
import json
import random  # noqa: TID251 - the seed comes in as an argument
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

NUMBERS: Final = (
    b"0", b"-0", b"-1", b"1e999", b"-1e999", b"NaN", b"Infinity", b"1e-400", b"9" * 40, b"0x10", b"1,5",
    b"1.5.2", b"1/0", b"3 1/2", b"2147483648", b"9007199254740993", b"1_000", "\u0663".encode(),
    "\u00bd".encode(), b"",
)  # fmt: skip
ODD: Final = (
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\r", b"\r\n", b"\t", b"\\", b'"', b"'", b"[",
    b"{", b"=", b"<!--", b"\x1a", b"\x85", "\u2028".encode(), "\u202e".encode(), "\ufb03".encode(), b"../",
    b"%s%n",
)  # fmt: skip
LONGEST: Final = 60_000


@dataclass(frozen=True)
class _Wrong:
    """Ways to make bytes wrong; ``tokens`` are words of the format, ``others`` files to take from."""

    rng: random.Random
    tokens: Sequence[bytes]
    others: Sequence[bytes]

    def flip(self, content: bytearray, start: int, _end: int) -> None:
        content[start] ^= 1 << self.rng.randrange(8)

    def other_byte(self, content: bytearray, start: int, _end: int) -> None:
        content[start] = self.rng.choice((0, 0x20, 0x7F, 0x80, 0xFF, self.rng.randrange(256)))

    def take_out(self, content: bytearray, start: int, end: int) -> None:
        del content[start:end]

    def repeat(self, content: bytearray, start: int, end: int) -> None:
        content[start:start] = content[start:end] * self.rng.choice((1, 2, 50))

    def put_in(self, content: bytearray, start: int, _end: int) -> None:
        content[start:start] = self.rng.choice(self.tokens)

    def put_instead(self, content: bytearray, start: int, end: int) -> None:
        content[start:end] = self.rng.choice(self.tokens)

    def other_number(self, content: bytearray, start: int, _end: int) -> None:
        found = re.compile(rb"\d[\d.]*").search(content, start)
        if found:
            content[found.start() : found.end()] = self.rng.choice(NUMBERS)

    def cut(self, content: bytearray, start: int, _end: int) -> None:
        del content[start:]

    def endless(self, content: bytearray, start: int, _end: int) -> None:
        more = self.rng.choice((b"[", b"{", b"(", b" ", b"a", b"9", b"\n", b'{"a":', b"[["))
        content[start:start] = more * self.rng.choice((300, 3_000, LONGEST // len(more)))

    def repeat_line(self, content: bytearray, start: int, _end: int) -> None:
        lines = content.split(b"\n")
        lines.insert(start % (len(lines) + 1), self.rng.choice(lines))
        content[:] = b"\n".join(lines)

    def exchange_lines(self, content: bytearray, start: int, _end: int) -> None:
        lines = content.split(b"\n")
        one, two = start % len(lines), self.rng.randrange(len(lines))
        lines[one], lines[two] = lines[two], lines[one]
        content[:] = b"\n".join(lines)

    def splice(self, content: bytearray, start: int, _end: int) -> None:
        other = self.rng.choice(self.others)
        cut = self.rng.randrange(len(other))
        content[start:] = other[cut : cut + 4_000]


WAYS: Final = tuple(
    each for name, each in vars(_Wrong).items() if not name.startswith("_") and callable(each)
)


def mutated(rng: random.Random, seed: bytes, tokens: Sequence[bytes], others: Sequence[bytes] = ()) -> bytes:
    """A seed, which is not empty, with one to six changes; ``tokens`` are words of its format."""
    wrong = _Wrong(rng, (*tokens, *ODD, *NUMBERS), others or (seed,))
    content = bytearray(seed)
    for _ in range(rng.choice((1, 1, 1, 2, 3, 6))):
        if content:
            start = rng.randrange(len(content))
            rng.choice(WAYS)(wrong, content, start, start + rng.choice((1, 1, 2, 4, 16, 64, 400)))
    return bytes(content)


PLAIN: Final[tuple[Callable[[random.Random], Any], ...]] = (
    lambda rng: rng.choice((None, True, False, 0, -1, 1, 2**53 - 1, -(2**53) + 1, 10**9)),
    lambda rng: rng.choice([each.decode("utf-8", "replace") for each in NUMBERS]),
    lambda rng: rng.choice(("", "x" * 70_000, "\u0000", "\u202e", "P1-1", "ft-in", "in", "mm", "tremie")),
    lambda rng: rng.choice(([], {}, [[]], {"read": "1", "unit": "in"}, {"read": "-1", "unit": "mm"})),
    lambda rng: ["a"] * rng.choice((1, 300)),
    lambda rng: rng.choice(("2026-05-12T09:00:00-06:00", "0001-01-01T00:00:00+00:00", "2026-02-30T00:00")),
    lambda rng: rng.choice(("9999-12-31T23:59:59-12:00", "2026-05-12", "P1D")),
)


def mutated_value(rng: random.Random, value: Any) -> Any:
    """Plain values of JSON with one place made another: changed, taken out, put in, or put elsewhere."""
    copied = json.loads(json.dumps(value))
    places = list(_places(copied))
    if not places:
        return rng.choice(PLAIN)(rng)
    holder, key = rng.choice(places)
    how = rng.randrange(8)
    if how >= 5:
        holder, key = rng.choice([each for each in places if isinstance(each[0][each[1]], str)] or places)
        holder[key] = _likely(rng, holder[key])
    elif how == 0 and isinstance(holder, dict):
        del holder[key]
    elif how == 1:
        other, at = rng.choice(places)
        holder[key] = json.loads(json.dumps(other[at]))
    elif how == 2 and isinstance(holder, list):
        holder.insert(key, holder[key])
    else:
        holder[key] = rng.choice(PLAIN)(rng)
    return copied


def _likely(rng: random.Random, said: Any) -> Any:
    """Something that could stand in the place of a text: another number, another time."""
    if not isinstance(said, str):
        return rng.choice(PLAIN)(rng)
    with contextlib.suppress(ValueError, OverflowError):
        return (datetime.fromisoformat(said) + timedelta(hours=rng.uniform(-50, 50))).isoformat(
            "T", "seconds"
        )
    found = re.search(r"\d+(\.\d+)?", said)
    if found is None:
        return said.upper() if rng.random() < 0.2 else said
    number = float(found.group()) * rng.choice((0.0, 0.5, 0.9, 1.1, 2.0, 10.0, 1000.0))
    return said[: found.start()] + f"{number:.{rng.randrange(4)}f}" + said[found.end() :]


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every place in a plain value, as its holder and its key there."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in list(pairs):
        yield value, key
        yield from _places(inner)
