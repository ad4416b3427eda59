"""From a finding's remedy to the command that carries it out."""

from __future__ import annotations

from typing import assert_never

from linesizer.document.command import Command
from linesizer.document.commands import part
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.fitting import SetFitting
from linesizer.document.commands.size import SetDoubleRiser, SetLegBuilds, SetLegFields, SetLegSize
from linesizer.domain.remedy import (
    AddPart,
    AskForSubcooling,
    GiveFall,
    PutFitting,
    Remedy,
    UseDoubleRiser,
    UseSize,
    UseSizes,
)


def remedy_command(circuit: str, remedy: Remedy) -> Command:
    """Return the command that carries out a remedy in one of the job's circuits."""
    match remedy:
        case UseSize():
            return SetLegSize(circuit, remedy.line, remedy.legs, remedy.size)
        case UseSizes():
            return SetLegBuilds(circuit, remedy.line, remedy.sizes)
        case AskForSubcooling():
            return SetConditionFields(circuit, remedy.condition, (("subcooling_K", remedy.subcooling_K),))
        case UseDoubleRiser():
            return SetDoubleRiser(circuit, remedy.line, remedy.leg, remedy.riser)
        case AddPart():
            return part.AddPart(circuit, remedy.line, remedy.leg, remedy.kind, remedy.at)
        case PutFitting():
            return SetFitting(circuit, remedy.line, remedy.node, remedy.kind)
        case GiveFall():
            return SetLegFields(circuit, remedy.line, remedy.legs, (("fall", remedy.fall),))
        case _:
            assert_never(remedy)
