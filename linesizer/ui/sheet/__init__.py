"""The sheet in the middle of the window: painting the display list, view, hit testing."""
