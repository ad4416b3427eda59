"""Liquid that valves can shut in: the stretches of pipe between them, and the pressure that warming brings up there."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from linesizer.catalog.parts import ControlledSide, part_kind
from linesizer.domain.circuit import Circuit
from linesizer.domain.ends import tied_ends
from linesizer.domain.equipment import Role
from linesizer.domain.geometry import LegGeometry, line_geometry
from linesizer.domain.part import Part
from linesizer.domain.route import Line, Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import ArrayLike, FloatArray

_STEP_K, _STEP_Pa = 1.0, 1e5


@dataclass(frozen=True, slots=True)
class Device:
    """A part that can shut, with the line and the leg that it stands on."""

    line: str
    leg: str
    part: Part


@dataclass(frozen=True, slots=True)
class ShutIn:
    """A stretch full of liquid that has no way out while its devices are shut.

    ``legs`` are pairs of line and leg; ``longest`` is the line, the leg and the fraction of the leg's length in the
    middle of the longest piece of tube between the devices.
    """

    devices: tuple[Device, ...]
    legs: tuple[tuple[str, str], ...]
    length_m: float
    longest: tuple[str, str, float]


@dataclass(slots=True)
class _Piece:
    """A piece of one leg between two devices, or a device and the leg's end."""

    line: str
    leg: LegGeometry
    start: float
    end: float
    relieved: bool = False

    @property
    def length_m(self) -> float:
        return self.leg.length_m * (self.end - self.start)


def closes(part: Part) -> bool:
    """Tell whether a part can shut the line: as the job states, else as its kind does."""
    return part_kind(part.kind).can_close if part.closes is None else part.closes


def relieves(part: Part) -> bool:
    """Tell whether a part lets trapped pressure out: as the job states, else as its kind does."""
    return part_kind(part.kind).relieves if part.relieves is None else part.relieves


def shut_in_stretches(circuit: Circuit) -> tuple[ShutIn, ...]:
    """Return the stretches of a circuit's liquid and drain lines that can be shut in without a relief path.

    A check valve lets liquid on in the direction of flow, and so does a valve that opens as the pressure on its inlet
    rises; neither holds back what lies before it.  Condensers, receivers and the unit have room for what expands; a
    subcooler has none, it is full of liquid like the lines that it joins.  What stands inside equipment is not seen.

    Parameters
    ----------
    circuit : Circuit
        Sound lines with their parts.

    Returns
    -------
    tuple of ShutIn
        In the order of the lines.
    """
    pieces: list[_Piece] = []
    meets: dict[tuple[str, str], list[int]] = defaultdict(list)
    devices: list[tuple[int, int, Device]] = []
    open_nodes: set[tuple[str, str]] = set()
    for line in circuit.lines:
        if line.service in (Service.LIQUID, Service.DRAIN):
            _add_line(line, pieces, meets, devices)
            for end in tied_ends(circuit, line):
                if end.equipment is not None and end.equipment.role is Role.SUBCOOLER:
                    meets["", end.equipment.id] += meets[line.id, end.node]
                else:
                    open_nodes.add((line.id, end.node))
    parent = list(range(len(pieces)))

    def root(index: int) -> int:
        while parent[index] != index:
            parent[index] = parent[parent[index]]
            index = parent[index]
        return index

    for joined in meets.values():
        for index in joined[1:]:
            parent[root(index)] = root(joined[0])
    free = {root(index) for node in open_nodes for index in meets[node]}
    free |= {root(index) for index, piece in enumerate(pieces) if piece.relieved}
    around: dict[int, list[Device]] = defaultdict(list)
    for before, after, device in devices:
        kind = part_kind(device.part.kind)
        if kind.one_way or kind.controlled_side is ControlledSide.INLET:
            free.add(root(before))
        around[root(before)].append(device)
        around[root(after)].append(device)
    stretches: dict[int, list[_Piece]] = defaultdict(list)
    for index, piece in enumerate(pieces):
        if root(index) not in free:
            stretches[root(index)].append(piece)
    return tuple(_stretch(tuple(around[name]), found) for name, found in stretches.items())


def pressure_rise_per_kelvin(table: RefrigerantTable, pressure_Pa: ArrayLike, temperature_K: ArrayLike) -> FloatArray:
    r"""Return how the pressure of liquid without room rises with its temperature.

    .. math:: (\partial p / \partial T)_\rho = -(\partial \rho / \partial T)_p / (\partial \rho / \partial p)_T

    The tube's own stretch takes some per cent off; it is left out.

    Parameters
    ----------
    table : RefrigerantTable
        Properties.
    pressure_Pa, temperature_K : array_like, shape S
        State of the liquid, [Pa] and [K].

    Returns
    -------
    ndarray, shape S
        Rise, [Pa/K].

    References
    ----------
    .. [1] Triple product rule; any textbook of thermodynamics.
    """
    pressure, temperature = np.asarray(pressure_Pa, dtype=np.float64), np.asarray(temperature_K, dtype=np.float64)
    # All three states lie inside the liquid, also where the first is at its bubble point.
    here, colder, squeezed = table.liquid_pt(
        np.stack([pressure, pressure, pressure + _STEP_Pa]),
        np.stack([temperature, temperature - _STEP_K, temperature]),
    ).density_kg_m3
    return np.asarray((colder - here) / _STEP_K / ((squeezed - here) / _STEP_Pa))


def _add_line(
    line: Line,
    pieces: list[_Piece],
    meets: dict[tuple[str, str], list[int]],
    devices: list[tuple[int, int, Device]],
) -> None:
    for leg in line_geometry(line).legs:
        meets[line.id, leg.leg.start].append(len(pieces))
        pieces.append(_Piece(line.id, leg, 0.0, 1.0))
        for part in sorted(leg.leg.parts, key=lambda part: part.at):
            if relieves(part):
                pieces[-1].relieved = True
            elif closes(part):
                devices.append((len(pieces) - 1, len(pieces), Device(line.id, leg.leg.id, part)))
                pieces[-1].end = part.at
                pieces.append(_Piece(line.id, leg, part.at, 1.0))
        meets[line.id, leg.leg.end].append(len(pieces) - 1)


def _stretch(devices: tuple[Device, ...], pieces: list[_Piece]) -> ShutIn:
    longest = max(pieces, key=lambda piece: piece.length_m)
    return ShutIn(
        devices=devices,
        legs=tuple(dict.fromkeys((piece.line, piece.leg.leg.id) for piece in pieces)),
        length_m=sum(piece.length_m for piece in pieces),
        longest=(longest.line, longest.leg.leg.id, 0.5 * (longest.start + longest.end)),
    )
