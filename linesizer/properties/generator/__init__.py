"""Writes the refrigerant tables; the only importer of CoolProp and scipy.

Run ``python -m linesizer.properties.generator [NAME ...] [--to DIR]``.
"""
