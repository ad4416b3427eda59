"""Move a piece of equipment along an axis; the lines tied to it follow."""

from __future__ import annotations

from linesizer.document.commands.equipment import MoveEquipment
from linesizer.document.direction import added, scaled
from linesizer.domain.equipment import Equipment
from linesizer.ui.gestures.gesture import Ground, Pointer
from linesizer.ui.gestures.move_node import AxisDrag


class MoveEquipmentByDrag(AxisDrag):
    """Drags a unit, a condenser, a receiver."""

    def __init__(self, ground: Ground, start: Pointer, circuit: str, equipment: Equipment) -> None:
        super().__init__(ground, start)
        self._circuit = circuit
        self._equipment = equipment

    def command(self, at: Pointer) -> MoveEquipment | None:
        """Return the move that the pointer means."""
        found = self.read(at)
        if found is None:
            return None
        to_m = added(self._equipment.at_m, scaled(found.direction.vector, found.length_m))
        return MoveEquipment(self._circuit, self._equipment.id, to_m)
