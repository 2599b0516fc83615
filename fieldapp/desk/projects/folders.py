"""What lies in a folder of this device, for a list of our own: folders, projects, files of one kind.

Hidden names are left out.  A folder that may not be read gives a sentence, and nothing is ever changed.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from string import ascii_uppercase
from typing import Final

from fieldapp.store.opening import JOURNAL
from fieldapp.store.problems import in_plain_words

KEY_FILES: Final = (".p12", ".pfx")
PLACE_OF_PROJECTS: Final = "Basenote"
_MOST: Final = 2000


class Found(StrEnum):
    """What a name in a folder stands for."""

    FOLDER = "folder"
    PROJECT = "project"
    FILE = "file"


@dataclass(frozen=True, slots=True)
class FolderRow:
    """One name in a folder."""

    path: Path
    what: Found


@dataclass(frozen=True, slots=True)
class FolderPage:
    """A folder: where it lies, the one above it if there is one, what is in it; folders come first."""

    path: Path
    above: Path | None
    is_project: bool
    rows: tuple[FolderRow, ...]


def folder_page(path: Path, suffixes: tuple[str, ...] = ()) -> FolderPage:
    """What is in a folder, with the files of these suffixes.  Raises StoreProblem.

    Above the topmost folder of a drive stand the drives, where the system has them.
    """
    if path == DRIVES:
        return FolderPage(path, None, False, tuple(FolderRow(each, Found.FOLDER) for each in _drives()))
    path = path.resolve()
    with in_plain_words(path), os.scandir(path) as names:
        rows = [row for each, _ in zip(names, range(_MOST), strict=False) if (row := _row(each, suffixes))]
    rows.sort(key=lambda each: (each.what is Found.FILE, each.path.name.casefold()))
    above = path.parent if path.parent != path else (DRIVES if _drives() else None)
    return FolderPage(path, above, (path / JOURNAL).is_file(), tuple(rows))


def nearest_there(path: Path) -> Path:
    """A folder, or the nearest one above it that is there."""
    return next((each for each in (path, *path.parents) if each.is_dir()), Path.home())


def place_of_projects() -> Path:
    """Where new projects are put unless somebody says otherwise."""
    return Path.home() / PLACE_OF_PROJECTS


DRIVES: Final = Path("//drives")
"""Stands above every drive; no folder has this name."""


def _drives() -> list[Path]:
    return (
        [each for letter in ascii_uppercase if (each := Path(f"{letter}:/")).is_dir()]
        if os.name == "nt"
        else []
    )


def _row(each: os.DirEntry[str], suffixes: tuple[str, ...]) -> FolderRow | None:
    if each.name.startswith("."):
        return None
    path = Path(each.path)
    try:
        if each.is_dir():
            return FolderRow(path, Found.PROJECT if (path / JOURNAL).is_file() else Found.FOLDER)
        is_file = each.is_file()
    except OSError:
        return None
    return FolderRow(path, Found.FILE) if is_file and path.suffix.lower() in suffixes else None
