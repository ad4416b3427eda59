"""Choosing sizes: the sweep over a catalogue, and what a size is worth."""
