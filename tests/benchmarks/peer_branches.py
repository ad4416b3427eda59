"""The reference for parallel condensers beside a published network solver: python tests/benchmarks/peer_branches.py.

pandapipes (Fraunhofer IEE and the University of Kassel, BSD) solves the same liquid networks, two or three branches
between the same two places: shares of the flow and the drop.  Both use Colebrook and White, pandapipes with 3.71 in the
term of roughness, ``tests/solver/network_reference.py`` with the 3.7 of fluids.  Not part of the test extra, for it
brings two dozen packages and holds pandas and scipy back; install it in an environment of its own:

    python -m venv peer
    peer/bin/pip install pandapipes==0.16.0 fluids CoolProp
    peer/bin/python tests/benchmarks/peer_branches.py

The figures that it prints stand in ``tests/solver/test_network_reference.py``.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import pandapipes
from pandapipes.properties.fluids import _add_fluid_to_net, create_constant_fluid

from tests.solver.network_reference import Unchanging, balanced
from tests.solver.peer_cases import PEER_CASES, PeerCase, branches


def by_peer(case: PeerCase) -> tuple[list[float], float]:
    """Return the shares and the drop [Pa] that pandapipes finds."""
    net = pandapipes.create_empty_network()
    liquid = create_constant_fluid(
        "liquid",
        "liquid",
        density=case.density,
        viscosity=case.viscosity,
        heat_capacity=1400.0,
        molar_mass=100.0,
    )
    _add_fluid_to_net(net, liquid)
    start, end = (pandapipes.create_junction(net, pn_bar=11.0, tfluid_k=312.0) for _ in range(2))
    pandapipes.create_ext_grid(net, start, p_bar=11.0, t_k=312.0, type="pt")
    pandapipes.create_sink(net, end, mdot_kg_per_s=case.flow_kg_s)
    for length_m, bore_m, k in case.pipes:
        pandapipes.create_pipe_from_parameters(
            net,
            start,
            end,
            length_km=length_m / 1e3,
            inner_diameter_mm=bore_m * 1e3,
            k_mm=case.roughness_m * 1e3,
            loss_coefficient=k,
        )
    pandapipes.pipeflow(net, friction_model="colebrook", tol_p=1e-10, tol_m=1e-10, iter=200, max_iter_colebrook=200)
    drop_Pa = 1e5 * float(net.res_junction.p_bar[start] - net.res_junction.p_bar[end])
    return [float(flow) / case.flow_kg_s for flow in net.res_pipe.mdot_from_kg_per_s], drop_Pa


def main() -> None:
    out = sys.stdout.write
    out(f"pandapipes {pandapipes.__version__}\n")
    for name, case in PEER_CASES.items():
        found = balanced(branches(case), Unchanging(case.flow_kg_s, case.state, case.state))
        out(f"{name}\n")
        for who, (shares, drop_Pa) in (
            ("pandapipes", by_peer(case)),
            ("reference", (found.shares, found.liquid[0].drop_Pa)),
        ):
            out(f"  {who:10}  shares {', '.join(f'{x:.6f}' for x in shares)}; drop {drop_Pa:.2f} Pa\n")


if __name__ == "__main__":
    main()
