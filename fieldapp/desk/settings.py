"""What this device is told beside its name: a timestamp server, if there is one.

`settings.toml` lies in the user's configuration folder, outside every project.  Without it nothing is ever
sent anywhere.  A word that is not known there is refused, so that a slip is not taken for a setting.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from platformdirs import user_config_path

from fieldapp.identity.certificates import load
from fieldapp.identity.errors import UnreadableCertificate
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said

_KNOWN: Final = ("timestamp_server", "timestamp_certificate")
_LARGEST_BYTES: Final = 65_536


@dataclass(frozen=True, slots=True)
class Settings:
    """A timestamp server (address) and the certificate (PEM text) of the authority whose time counts."""

    timestamp_server: str = ""
    timestamp_certificate: str = ""


def settings_file() -> Path:
    """Where the settings of this device stand, whether or not they do."""
    return user_config_path("basenote", appauthor=False) / "settings.toml"


def read_settings() -> Settings:
    """The settings of this device; all empty without a file.

    Raises Impossible, naming the setting, what was read and what was expected.
    """
    path = settings_file()
    try:
        with path.open("rb") as file:
            told = tomllib.loads(file.read(_LARGEST_BYTES).decode("utf-8"))
    except FileNotFoundError:
        return Settings()
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise Impossible("settings", f"{path}: {problem}", said("a TOML file")) from None
    unknown = sorted(set(told) - set(_KNOWN))
    if unknown:
        raise Impossible(
            "settings",
            ", ".join(unknown),
            said("only {names} in {path}", names=" and ".join(_KNOWN), path=path),
        )
    server, certificate = (_text(told.get(each, ""), each) for each in _KNOWN)
    if server and urlsplit(server).scheme not in {"http", "https"}:
        raise Impossible(_KNOWN[0], server, said("an address that begins with https:// in {path}", path=path))
    return Settings(server, _certificate(path.parent / certificate) if certificate else "")


def _text(value: object, name: str) -> str:
    if not isinstance(value, str):
        raise Impossible(name, str(value), said("text in quotes"))
    return value


def _certificate(path: Path) -> str:
    expected = said("a file with one certificate as PEM text")
    try:
        with path.open("rb") as file:
            pem = file.read(_LARGEST_BYTES).decode("ascii")
        load(pem)
    except (OSError, UnicodeDecodeError, UnreadableCertificate):
        raise Impossible(_KNOWN[1], str(path), expected) from None
    return pem
