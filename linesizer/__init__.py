"""Refrigerant lines between an indoor unit and a remote condenser: read a job, solve it."""

from __future__ import annotations

__version__ = "0.1.0"
