"""The open job: commands that change it, undo, what is saved, and what a person types to draw.  Knows no window."""
