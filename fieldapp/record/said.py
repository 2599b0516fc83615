"""A sentence that is English text and still remembers its template and the values in it.

`Said` is a `str` everywhere: equal to, hashed, stored and written out as its English text.  A screen
may look at `template` and `values` to say the same in another language; the values may be said, too.
Changing the text in any way gives a plain `str`, which is then shown as it is; `written` keeps what is said.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

_NOTHING: Final[Mapping[str, object]] = MappingProxyType({})


class Said(str):
    """English text made from a template; both are kept."""

    __slots__ = ("template", "values")

    template: str
    values: Mapping[str, object]

    def __new__(cls, template: str, values: Mapping[str, object] = _NOTHING) -> Said:
        """Put the values into the template."""
        made = super().__new__(cls, template.format_map(values))
        made.template = template
        made.values = values
        return made

    def written(self, text: str) -> Said:
        """The same sentence with `text` for its English: with a capital, or without its last point."""
        return _written(text, self.template, self.values)

    def __reduce__(self) -> tuple[object, tuple[str, str, dict[str, object]]]:
        """Copy and pickle what the text was made of."""
        return (_written, (str(self), self.template, dict(self.values)))


def _written(text: str, template: str, values: Mapping[str, object]) -> Said:
    made = str.__new__(Said, text)
    made.template = template
    made.values = values
    return made


def said(template: str, /, **values: object) -> Said:
    """Say `template` with the named `values` in its braces.

    Parameters
    ----------
    template
        English text with {named} fields, written as a literal where it is said: the languages are
        gathered from these literals.  A template chosen elsewhere is marked there with `sayable`.
    values
        What stands in the fields: text, numbers, words of the record, or sentences that were said.

    Returns
    -------
    Said
        The English text, which is a `str`.

    Raises
    ------
    KeyError
        A field of the template has no value.
    """
    return Said(template, values)


def said_of(problem: BaseException) -> str:
    """The sentence that a problem carries, still said where it was said."""
    first = problem.args[0] if len(problem.args) == 1 else None
    return first if isinstance(first, Said) else str(problem)


def sayable(template: str, /) -> str:
    """Mark a template, written as a literal, that is said elsewhere; gives it back unchanged."""
    return template
