"""Liquid networks that a published solver and the reference for parallel condensers both solve; all data invented."""

from __future__ import annotations

from dataclasses import dataclass

from tests.solver.network_reference import Branch, Loss, Reach, State


@dataclass(frozen=True)
class PeerCase:
    """Pipes side by side between two places, each length [m], bore [m] and loss coefficient, and their liquid.

    ``shares`` and ``drop_Pa`` are what pandapipes 0.16.0 prints (tests/benchmarks/peer_branches.py; read).
    """

    flow_kg_s: float
    density: float
    viscosity: float
    pipes: tuple[tuple[float, float, float], ...]
    shares: tuple[float, ...]
    drop_Pa: float
    roughness_m: float = 1.5e-6

    @property
    def state(self) -> State:
        return State(self.density, self.viscosity)


PEER_CASES = {
    "two lengths of one bore": PeerCase(
        0.4, 1149.0, 1.7e-4, ((8.0, 0.0201, 2.0), (14.0, 0.0201, 3.5)), (0.575468, 0.424532), 2184.35
    ),
    "two bores": PeerCase(0.3, 1010.0, 1.1e-4, ((6.0, 0.0166, 1.0), (9.0, 0.0138, 2.0)), (0.671771, 0.328229), 3121.14),
    "three, one narrow": PeerCase(
        0.5,
        1149.0,
        1.7e-4,
        ((10.0, 0.0201, 2.0), (12.0, 0.0166, 4.0), (20.0, 0.0109, 1.0)),
        (0.597401, 0.315714, 0.086886),
        4226.89,
    ),
    "rough tube": PeerCase(
        0.4, 1149.0, 1.7e-4, ((8.0, 0.0209, 2.0), (15.0, 0.0158, 1.0)), (0.729316, 0.270684), 3690.82, 4.5e-5
    ),
}


def branches(case: PeerCase) -> list[Branch]:
    """Return the pipes as the liquid branches of condensers whose gas costs nothing."""
    return [
        Branch(
            f"c{index}",
            (Reach(f"g{index}", 0.0, 0.0, 0.05, case.roughness_m),),
            (Reach(f"l{index}", length_m, 0.0, bore_m, case.roughness_m, (Loss(k=k),)),),
        )
        for index, (length_m, bore_m, k) in enumerate(case.pipes)
    ]
