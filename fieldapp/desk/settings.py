"""What this device is told beside its name: a timestamp server, if there is one.

`settings.toml` lies in the user's configuration folder, outside every project.  Without a server there
nothing is ever sent anywhere.  A word that is not known there is refused, so that a slip is not taken for
a setting.
"""

from __future__ import annotations

import json
import tomllib
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from platformdirs import user_config_path

from fieldapp.identity.certificates import load
from fieldapp.identity.errors import UnreadableCertificate
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import in_plain_words

SERVER: Final = "timestamp_server"
_KNOWN: Final = (SERVER, "timestamp_certificate")
_LARGEST_BYTES: Final = 65_536
_LONGEST_ADDRESS: Final = 500


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

    Raises Impossible, naming the setting, what was read and what was expected, or StoreProblem.
    """
    path = settings_file()
    told = _read(_text_of(path), path)
    server, certificate = (_text(told.get(each, ""), each) for each in _KNOWN)
    if server and not _is_address(server):
        raise Impossible(SERVER, server, said("an address that begins with https:// in {path}", path=path))
    return Settings(server, _certificate(path.parent / certificate) if certificate else "")


def keep_server(address: str) -> None:
    """Name another timestamp server, or none by an empty text; the rest of the file stays.

    Raises Impossible for what is no address of a server or a file that cannot be read, StoreProblem.
    """
    address, path = address.strip(), settings_file()
    if address and not _is_address(address):
        raise Impossible(
            SERVER,
            address,
            said("an address that begins with https:// or http://, such as https://time.example/stamp"),
        )
    with in_plain_words(path):
        before = _text_of(path)
        told = {each: _text(value, each) for each, value in _read(before, path).items() if each != SERVER}
        wanted = {SERVER: address, **told} if address else told
        rest = [each for each in before.splitlines() if not each.lstrip().startswith(SERVER)]
        new = "\n".join([*_lines({SERVER: address} if address else {}), *rest, ""])
        if not _says(new, wanted):  # the old one stood on several lines
            new = "\n".join([*_lines(wanted), ""])
        path.parent.mkdir(parents=True, exist_ok=True)
        save_bytes(path, new.encode())


def _is_address(text: str) -> bool:
    """Whether it is the address of a server, with a scheme that we speak."""
    try:
        found = urlsplit(text)
        named = bool(found.hostname) and found.port != 0
    except ValueError:
        return False
    plain = text.isprintable() and " " not in text and len(text) <= _LONGEST_ADDRESS
    return plain and named and found.scheme in {"http", "https"}


def _text_of(path: Path) -> str:
    content = b""
    with in_plain_words(path), suppress(FileNotFoundError), path.open("rb") as file:
        content = file.read(_LARGEST_BYTES)
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as problem:
        raise Impossible("settings", f"{path}: {problem}", said("a TOML file")) from None


def _read(text: str, path: Path) -> dict[str, Any]:
    try:
        told = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise Impossible("settings", f"{path}: {problem}", said("a TOML file")) from None
    unknown = sorted(set(told) - set(_KNOWN))
    if unknown:
        raise Impossible(
            "settings",
            ", ".join(unknown),
            said("only {names} in {path}", names=" and ".join(_KNOWN), path=path),
        )
    return told


def _says(text: str, wanted: dict[str, Any]) -> bool:
    try:
        return tomllib.loads(text) == wanted
    except tomllib.TOMLDecodeError:
        return False


def _lines(told: dict[str, Any]) -> list[str]:
    """One line each; a text in TOML is escaped as in JSON."""
    return [f"{name} = {json.dumps(value, ensure_ascii=False)}" for name, value in told.items()]


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
