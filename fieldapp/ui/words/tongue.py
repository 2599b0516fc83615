"""Every word of a screen in the language that was chosen: `tr` is the one way to the glass.

English is the text itself and reads no file.  A sentence that was said (`fieldapp.record.said`) is
translated by its template, with what was said inside it; a text without translation stays English, and
numbers and names stay as they are.  Knows no window: after `choose` somebody rebuilds what is shown.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping
    from gettext import NullTranslations

ENGLISH: Final = "en"
_DEGREES: Final = {"degF": "\N{DEGREE SIGN}F", "degC": "\N{DEGREE SIGN}C"}
OWN_NAMES: Final = {ENGLISH: "English", "es": "Español"}


class Counted(NamedTuple):
    """A text with a count in it, in both English forms; shown by ``tr_count(*counted, count)``."""

    one: str
    many: str


class _Chosen:
    code: str = ENGLISH
    words: NullTranslations | None = None


def languages() -> dict[str, str]:
    """Code of each language that there is, and its own name for itself."""
    return dict(OWN_NAMES)


def language() -> str:
    """Code of the language that is shown."""
    return _Chosen.code


def choose(code: str) -> None:
    """Show this language from now on; one that we have not, or whose file cannot be read, is English."""
    _Chosen.code, _Chosen.words = ENGLISH, None
    if code == ENGLISH or code not in OWN_NAMES:
        return
    from gettext import GNUTranslations

    import assets  # found by its folder: what reads package data elsewhere is slow to load

    path = Path(assets.__file__).parent / "languages" / code / "LC_MESSAGES" / "basenote.mo"
    try:
        with path.open("rb") as catalogue:
            _Chosen.words = GNUTranslations(catalogue)
    except (OSError, UnicodeDecodeError):
        return
    _Chosen.code = code


def tr(text: str, /, **values: object) -> str:
    """`text` in the chosen language, with the named values in its braces.

    Parameters
    ----------
    text
        A template of `fieldapp.ui.words`, a word of the record, or a sentence that was said, which brings
        its own values.  Any other text comes back as it is.
    values
        What stands in the fields of a template.  A value that was said, and a word from a closed list of
        the record, is translated too; numbers, names and notes are not.

    Raises
    ------
    KeyError
        A field of the template has no value.
    """
    said: Any = text  # known by its shape: the widgets load no part of the record
    template = getattr(said, "template", None)
    if template is not None and _Chosen.words is None:
        return degrees(str(text))  # as it was said, with what was mended in its English
    if template is not None:
        return degrees(_written(text, template, _filled(_word(template), said.values)))
    return _filled(_word(text), values) if values else _word(text)


def degrees(text: str) -> str:
    """A sentence, a limit or a unit with its degrees of temperature as people write them."""
    for name, sign in _DEGREES.items():
        text = text.replace(name, sign)
    return text


def tr_count(one: str, many: str, count: int, /, **values: object) -> str:
    """The form that the language has for this count, with ``{count}`` and the named values in it."""
    words = _Chosen.words
    template = words.ngettext(one, many, count) if words else (one if count == 1 else many)
    return _filled(template, {"count": count, **values})


def told(problem: BaseException) -> str:
    """The sentence of a problem in the chosen language."""
    first = problem.args[0] if len(problem.args) == 1 else None
    return tr(first) if isinstance(first, str) else tr(str(problem))


def _filled(template: str, values: Mapping[str, object]) -> str:
    return template.format_map({name: _value(each) for name, each in values.items()})


def _written(english: str, template: str, shown: str) -> str:
    """A capital, or no last point, where the English text was written so after it was said."""
    if template.endswith(".") and not english.endswith("."):
        shown = shown.rstrip(".")
    raised = english[:1].isupper() and not template[:1].isupper()
    return f"{shown[:1].upper()}{shown[1:]}" if raised else shown


def _value(value: object) -> object:
    if isinstance(value, BaseException):
        return told(value)
    if isinstance(value, StrEnum):
        return _word(str(value))
    return tr(value) if isinstance(value, str) and hasattr(value, "template") else value


def _word(text: str) -> str:
    words = _Chosen.words
    return str(words.gettext(text)) if words and text else text
