"""The app: a window, a session and the way through the screens.

Import it only after `fieldapp.ui.app.prepare`: Kivy reads its settings when it is loaded.
"""

from __future__ import annotations

from typing import Any

from kivy.app import App
from kivy.base import ExceptionManager
from kivy.core.window import Window

from fieldapp.ui.crash import LastGuard
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk


class Tablet(App):
    """The first frame shows the board or the projects; after it the worker loads everything else."""

    title = "Basenote"

    def __init__(self, session: Session, first: str = "board", **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session = session
        self.first = first
        """The screen that the way begins with: the board of a project in hand, or the projects."""

    def build(self) -> Walk:
        walk = Walk(self.session)
        ExceptionManager.add_handler(LastGuard(self.session, walk.stop_here))
        Window.bind(on_keyboard=walk.key)
        Window.bind(on_flip=self._first_frame)
        Window.softinput_mode = "below_target"
        walk.go(self.first)
        return walk

    def on_pause(self) -> bool:
        self._keep_what_is_half_typed()
        self.session.lock()
        forget = getattr(self.root.current_screen, "forget", None)
        if forget is not None:
            forget()
        return True

    def on_stop(self) -> None:
        self._keep_what_is_half_typed()
        self.session.close()

    def _keep_what_is_half_typed(self) -> None:
        """After a pause there may be no return (Kivy), so nothing waits for one."""
        keep = getattr(self.root.current_screen, "keep", None)
        if keep is not None:
            keep()

    def _first_frame(self, *_: object) -> None:
        Window.unbind(on_flip=self._first_frame)
        from fieldapp.ui.screens.people_lock import BarLock
        from fieldapp.ui.tidying import Tidying

        self._tidying = Tidying(lambda: self.root.busy)
        self._lock = BarLock(self.session, self.root)
        if self.first == "board":
            self.session.start()
