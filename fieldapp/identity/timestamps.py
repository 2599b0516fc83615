"""A trusted timestamp (RFC 3161) for a signature: wished for when a server is set up, never required.

Where it comes from is the caller's: a `Timestamper` takes the bytes of a request and gives the bytes of the
reply.  A refusal, a reply to another question, or no network is one sentence, and nothing has been signed.
"""

from __future__ import annotations

import urllib.request
from dataclasses import dataclass
from typing import Any, Protocol
from urllib.parse import urlsplit

from asn1crypto import cms, tsp
from pyhanko.sign.timestamps import TimeStamper

from fieldapp.identity.errors import NoTimestamp
from fieldapp.record.said import said

LARGEST_REPLY = 65_536


class Timestamper(Protocol):
    """Carries a timestamp request to an authority and its reply back."""

    def reply_to(self, request_der: bytes) -> bytes:
        """The reply (DER of a TimeStampResp) to a request (DER of a TimeStampReq); OSError when none came."""
        ...


@dataclass(frozen=True, slots=True)
class WebTimestamper:
    """A timestamp server at an address of the form ``https://...`` or ``http://...``."""

    address: str
    timeout_s: float = 15.0

    def __post_init__(self) -> None:
        if urlsplit(self.address).scheme not in {"http", "https"}:
            raise NoTimestamp(
                said(
                    "The address of the timestamp server must begin with https:// or http://. "
                    "Nothing was signed; correct it, or sign without a timestamp."
                )
            )

    def reply_to(self, request_der: bytes) -> bytes:
        """Send the request by HTTP POST (RFC 3161, section 3.4).

        Raises
        ------
        OSError
            When the server cannot be reached.
        """
        headers = {"Content-Type": "application/timestamp-query", "Accept": "application/timestamp-reply"}
        request = urllib.request.Request(self.address, request_der, headers)
        with urllib.request.urlopen(request, timeout=self.timeout_s) as reply:
            return bytes(reply.read(LARGEST_REPLY))


class _Bridge(TimeStamper):  # pyHanko takes a timestamp only from its own class
    def __init__(self, source: Timestamper) -> None:
        super().__init__()  # type: ignore[no-untyped-call]  # pyHanko leaves it untyped
        self._source = source

    async def async_request_tsa_response(self, req: tsp.TimeStampReq) -> tsp.TimeStampResp:
        return tsp.TimeStampResp.load(self._source.reply_to(req.dump()), strict=True)

    async def async_timestamp(self, message_digest: bytes, md_algorithm: str) -> cms.ContentInfo:
        try:
            token = await super().async_timestamp(message_digest, md_algorithm)
            imprint = token["content"]["encap_content_info"]["content"].parsed["message_imprint"]
            answered = imprint["hashed_message"].native == message_digest
        except (OSError, ValueError, TypeError, KeyError, AttributeError):
            answered = False
        if not answered:
            raise NoTimestamp(
                said(
                    "The timestamp server gave no usable reply. Nothing was signed; try again when "
                    "the network is there, or sign without a timestamp: it is not required."
                )
            )
        return token


def bridge(source: Timestamper) -> Any:
    """The source in the form that the signing library asks."""
    return _Bridge(source)
