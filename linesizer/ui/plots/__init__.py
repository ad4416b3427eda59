"""Plots: curves and bars over the session, each inside a panel of its own."""
