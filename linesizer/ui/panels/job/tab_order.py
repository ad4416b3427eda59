"""The tab order of a panel whose parts come and go: as they are read, from the top down."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLayout, QScrollArea, QWidget


def chain(panel: QWidget) -> None:
    """Put everything in a panel that takes the focus into the order in which it is read."""
    before: QWidget | None = None
    for widget in in_order(panel):
        if before is not None:
            QWidget.setTabOrder(before, widget)
        before = widget


def in_order(widget: QWidget) -> Iterator[QWidget]:
    """Yield what takes the focus in a widget, in the order of its layouts."""
    own = getattr(widget, "tab_chain", None)
    if own is not None:
        yield from own()
        return
    if isinstance(widget, QScrollArea):
        inside = widget.widget()
        if inside is not None:
            yield from in_order(inside)
        return
    if widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
        yield widget
        return
    layout = widget.layout()
    if layout is not None:
        yield from _of_layout(layout)
        return
    for child in widget.children():
        if isinstance(child, QWidget) and not child.isWindow():
            yield from in_order(child)


def _of_layout(layout: QLayout) -> Iterator[QWidget]:
    for index in range(layout.count()):
        item = layout.itemAt(index)
        if item is None:
            continue
        widget, inner = item.widget(), item.layout()
        if widget is not None:
            yield from in_order(widget)
        elif inner is not None:
            yield from _of_layout(inner)
