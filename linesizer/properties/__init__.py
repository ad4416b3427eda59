"""Refrigerant properties: shipped tables and their evaluation with plain numpy."""
