"""Rules: each turns arrays into findings with words, evidence and source."""
