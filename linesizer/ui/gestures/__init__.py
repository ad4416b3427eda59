"""What a hand does on the sheet, one mouse or key gesture a file."""
