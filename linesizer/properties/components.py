"""The pure fluids that blends are made of."""

from __future__ import annotations

from collections.abc import Mapping

COMPONENTS: Mapping[str, str] = {
    "R22": "R22",
    "R32": "R32",
    "R125": "R125",
    "R134a": "R134a",
    "R143a": "R143a",
    "R152a": "R152A",
    "R227ea": "R227EA",
    "R1234yf": "R1234yf",
    "R1234ze(E)": "R1234ze(E)",
    "R290": "Propane",
    "R600a": "IsoButane",
    "R717": "Ammonia",
    "R744": "CarbonDioxide",
    "R1270": "Propylene",
}
"""Components by the name used here, each with the name CoolProp gives it."""
