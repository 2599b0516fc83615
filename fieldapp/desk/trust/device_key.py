"""The key file of a device name: made at the first need, readable by this user only, never in a project.

It is under no passphrase, because it signs without anybody being asked: the operating system keeps it from
other users and other apps.  A second key is never made for a name that had one.
"""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from fieldapp.desk.device import KeyPlace, key_place
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import in_plain_words

if TYPE_CHECKING:
    from fieldapp.identity.device_keys import DeviceSigner

GOOD_FOR: Final = timedelta(days=20 * 365)  # not held against signatures: a revocation ends a device's key


def device_key(device: str, now: datetime) -> DeviceSigner | None:
    """The key of a device name, made if the name never had one; None when it had one that is gone.

    Raises StoreProblem when it cannot be read or kept.
    """
    place = key_place(device)
    with in_plain_words(place.key.parent):
        if not place.certificate.exists():
            _make(place, device, now)
        return kept_device_key(device)


def kept_device_key(device: str) -> DeviceSigner | None:
    """The key of a device name if it is here and whole, else None.  Raises StoreProblem."""
    from fieldapp.identity.device_keys import load_device_key  # noqa: PLC0415 - slow, only signing needs it
    from fieldapp.identity.errors import DamagedKeyFile  # noqa: PLC0415 - stands with the import above

    place = key_place(device)
    with in_plain_words(place.key.parent):
        try:
            signer = load_device_key(place.key.read_bytes(), place.certificate.read_text("utf-8"))
        except (FileNotFoundError, DamagedKeyFile, UnicodeDecodeError):
            return None
    return signer if signer.device == device else None


def _make(place: KeyPlace, device: str, now: datetime) -> None:
    """Keep the key first and its certificate last: a certificate says that the key was kept whole."""
    from fieldapp.identity.certificates import Term  # noqa: PLC0415 - slow, only signing needs it
    from fieldapp.identity.device_keys import (  # noqa: PLC0415 - stands with the import above
        device_certificate,
        new_device_key,
    )
    from fieldapp.identity.errors import DamagedKeyFile  # noqa: PLC0415 - stands with the imports above

    place.key.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with suppress(NotImplementedError):
        place.key.parent.chmod(0o700)  # no other user sees the file, even before it has its own rights
    term = Term(now, now + GOOD_FOR)
    try:
        pkcs8 = place.key.read_bytes()
        certificate = device_certificate(pkcs8, device, term)
    except (FileNotFoundError, DamagedKeyFile):
        pkcs8 = new_device_key()
        certificate = device_certificate(pkcs8, device, term)
    save_bytes(place.key, pkcs8)
    place.key.chmod(0o600)
    save_bytes(place.certificate, certificate.encode("ascii"))
