"""The settings of this device: language, scheme, text size, decimal mark.  They are in no record.

Kept as JSON beside the device's name and read before the first frame with the standard library alone.
A file that cannot be read, or a value that is none of ours, counts as not set.  A change is in force at
once and reaches the disk on the worker.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from locale import getlocale
from pathlib import Path
from typing import TYPE_CHECKING, Final

from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import settings as words
from fieldapp.ui.words.tongue import ENGLISH, choose, languages, tr

if TYPE_CHECKING:
    from fieldapp.ui.session import Session
    from fieldapp.ui.walk import Walk

SCHEMES: Final = ("noon", "night")
MARKS: Final = (".", ",")
SMALLEST_TEXT, LARGEST_TEXT = 1.0, 2.0


@dataclass(frozen=True, slots=True)
class Settings:
    """What is chosen on this device.  Raises ValueError for a value that cannot be chosen."""

    language: str = ENGLISH
    scheme: str = SCHEMES[0]
    text_scale: float = SMALLEST_TEXT
    decimal_mark: str = MARKS[0]

    def __post_init__(self) -> None:
        wrong = [name for name, value in asdict(self).items() if not _can_be(name, value)]
        if wrong:
            raise ValueError(f"settings that cannot be: {', '.join(wrong)}")


class Preferences:
    """The settings in force, and the file that keeps them; without a path they last as long as the app."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path
        self.now = read_settings(path) if path else Settings()

    def apply(self) -> None:
        """Put the settings in force; screens that are built already need `Walk.rebuild`."""
        choose(self.now.language)
        theme.scheme = self.now.scheme
        theme.text_scale = self.now.text_scale
        theme.decimal_mark = self.now.decimal_mark

    def change(self, new: Settings, session: Session, way: Walk, refused: Callable[[str], None]) -> None:
        """Put new settings in force at once and keep them on the worker; ``refused`` gets a sentence."""
        before, self.now = self.now, new
        self.apply()
        if before.language != new.language:
            way.rebuild()
        path = self.path
        if path is not None:
            session.jobs.run(lambda: write_settings(path, new), lambda why: _say(why, refused), _raise)


def settings_file() -> Path:
    """Where the settings of this device are kept."""
    from platformdirs import user_config_path

    return user_config_path("basenote", appauthor=False) / "tablet.json"


def read_settings(path: Path) -> Settings:
    """The settings in a file; what is missing or damaged is as on a new device."""
    try:
        found = json.loads(path.read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        found = {}
    kept = found if isinstance(found, Mapping) else {}
    known = {name: kept[name] for name in asdict(Settings()) if name in kept and _can_be(name, kept[name])}
    return Settings(**{"language": language_of_the_system(), **known})


def write_settings(path: Path, settings: Settings) -> str:
    """Keep settings, whole or not at all; gives why not, empty when they are kept."""
    new = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with new.open("w", encoding="utf-8") as file:
            json.dump(asdict(settings), file)
            file.flush()
            os.fsync(file.fileno())
        new.replace(path)
    except OSError as problem:
        return problem.strerror or type(problem).__name__
    return ""


def language_of_the_system() -> str:
    """The language of this device if we have it, else English."""
    named = next((os.environ[each] for each in ("LC_ALL", "LC_MESSAGES", "LANG") if os.environ.get(each)), "")
    if sys.platform == "win32":
        import ctypes
        from locale import windows_locale

        named = windows_locale.get(ctypes.windll.kernel32.GetUserDefaultUILanguage(), "")
    code = (named or getlocale()[0] or "").replace("-", "_").partition("_")[0].lower()
    return code if code in languages() else ENGLISH


def _can_be(name: str, value: object) -> bool:
    if name == "text_scale":
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return number and SMALLEST_TEXT <= float(str(value)) <= LARGEST_TEXT
    chosen_from = {"language": tuple(languages()), "scheme": SCHEMES, "decimal_mark": MARKS}
    return value in chosen_from[name]


def _say(why: str, refused: Callable[[str], None]) -> None:
    if why:
        refused(tr(words.NOT_KEPT, why=why))


def _raise(problem: Exception) -> None:
    raise problem
