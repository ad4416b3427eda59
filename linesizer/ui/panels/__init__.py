"""Panels: each a view of the session that the main window docks."""
