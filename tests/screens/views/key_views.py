"""Views of the key that every decision needs: asked for, opened with a wrong passphrase, slowed down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tests.screens.views.deciding import names
from tests.screens.views.release_views import hold_back

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey


def unlock(on: Journey) -> None:
    hold_back(on)


def unlock_wrong(on: Journey) -> None:
    unlock(on)
    names().unlock(on, "quite another phrase")


def unlock_slowed(on: Journey) -> None:
    unlock(on)
    for _ in range(6):
        names().unlock(on, "quite another phrase")


KEY_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        unlock, unlock_wrong, unlock_slowed,
    )
}  # fmt: skip
