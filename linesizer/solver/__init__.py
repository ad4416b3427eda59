"""The physics: pure functions in SI, one phenomenon a file."""
