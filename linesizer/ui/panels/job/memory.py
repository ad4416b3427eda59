"""What a panel remembers of how the person left it: which parts are folded."""

from __future__ import annotations

from PySide6.QtCore import QSettings


class PanelMemory:
    """Kept in the person's preferences, or without any for as long as the window lives."""

    def __init__(self, settings: QSettings | None = None) -> None:
        self._settings = settings
        self._now: dict[str, bool] = {}

    def is_open(self, name: str, first: bool) -> bool:
        """Return whether a part was left open; ``first`` where the person never touched it."""
        if name not in self._now:
            kept = self._settings.value(_key(name)) if self._settings is not None else None
            # An ini file gives back text.
            self._now[name] = first if kept is None else str(kept).lower() == "true"
        return self._now[name]

    def keep(self, name: str, is_open: bool) -> None:
        """Remember how a part was left."""
        self._now[name] = is_open
        if self._settings is not None:
            self._settings.setValue(_key(name), is_open)


def _key(name: str) -> str:
    return f"job-panel/open/{name}"
