"""Identifiers of plain log entries: the same file added twice gives the same entries.

The layout is a UUID of version 7 (RFC 9562): milliseconds of the time observed, then bits of a SHA-256
over what tells the entry apart.  No clock and no random source is asked.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Final
from uuid import UUID

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_VERSION: Final = 7 << 76
_VARIANT: Final = 0b10 << 62


def plain_id(observed_at: datetime, told_apart_by: Sequence[str]) -> str:
    """UUID of version 7 for a moment from 1970 on and the words that tell the entry apart."""
    milliseconds = (observed_at - _EPOCH) // timedelta(milliseconds=1)
    digest = hashlib.sha256(json.dumps(list(told_apart_by), ensure_ascii=True).encode()).digest()
    bits = int.from_bytes(digest[:10], "big")
    high, low = (bits >> 62) & 0xFFF, bits & ((1 << 62) - 1)
    return str(UUID(int=(milliseconds << 80) | _VERSION | (high << 64) | _VARIANT | low))
