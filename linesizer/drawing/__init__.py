"""The drawing: projection, symbols, label layout and the display list that screen and paper both draw."""
