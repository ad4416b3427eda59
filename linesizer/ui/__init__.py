"""The window: views of one session, gestures, panels, plots."""
