"""What solving costs: ``.venv/bin/python tests/benchmarks/bench_solve.py``, on a machine that does nothing else.

One job, a gas and a liquid line of 60 legs each, all sizes of the tube catalogue, 40 conditions, with findings.  Beside
it the same work as a loop: one leg at one size and one condition after another, with direct calls of CoolProp for
density and viscosity and of the fluids library for friction and fittings; a sample of sizes and conditions is timed and
scaled up, for a pure fluid and for a mixture of five.  Then how the time grows from 10 to 1,000 legs, the oil-return
map, and the command line against importing numpy.  Medians and best times; nothing is asserted.
"""

from __future__ import annotations

import json
import platform
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from fluids.fittings import Darby3K
from fluids.friction import friction_factor

from linesizer.catalog.practice import practice_set
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.condition import Condition
from linesizer.domain.job import Job
from linesizer.domain.route import Point, Service
from linesizer.evaluate import solve
from linesizer.sizing.oil_return_map import oil_return_map
from linesizer.storage.job_file import write
from tests.solver.reference_path import ZERO_C, Fluid
from tests.solver.routes import chain, condition, job

ROOT = Path(__file__).resolve().parents[2]
LEGS, CONDITIONS, ROUNDS, SAMPLE = 60, 40, 25, 12
PURE, MIXTURE = "R134a", "R448A"
GRAVITY, FILM = 9.80665, 950.0
COMPRESSOR_ROUNDS, LEG_ROUNDS = 3, 2


def route(legs: int) -> list[Point]:
    """Return the nodes of a route of so many legs, each at right angles to the one before, every third climbing."""
    points: list[Point] = [(0.0, 0.0, 0.0)]
    for number in range(legs):
        east, north, up = points[-1]
        points.append([(east + 1.2, north, up), (east, north + 1.2, up), (east, north, up + 0.4)][number % 3])
    return points


def made(legs: int = LEGS, conditions: int = CONDITIONS, *, heat: bool = False, refrigerant: str = PURE) -> Job:
    """Return a job whose every value is new, so that nothing is remembered from an earlier one."""
    points = route(legs)
    sizes = ["1-5/8" if number % 2 else "1-3/8" for number in range(legs)]
    back = [(east, north + 0.5, up) for east, north, up in reversed(points)]
    running = [
        condition(f"k{number}", capacity_W=30e3 + 1e3 * (number % 31), condensing_C=32.0 + number / 2.5)
        for number in range(conditions)
    ]
    return job(
        chain(points, size=sizes),
        chain(back, Service.LIQUID, size="7/8"),
        conditions=running,
        heat_exchange=heat,
        refrigerant=refrigerant,
    )


def spent(make: Callable[[], Job], act: Callable[[Job], object] = solve, rounds: int = ROUNDS) -> list[float]:
    """Return the times of an act on as many new jobs, [s]; the first few warm up."""
    times = []
    for number in range(rounds + 3):
        one = make()
        begin = time.perf_counter()
        act(one)
        if number >= 3:
            times.append(time.perf_counter() - begin)
    return times


def looped_s(whole: Job) -> float:
    """Return about what the loop would take for all sizes and conditions of both lines, [s]."""
    circuit = whole.circuits[0]
    bores = tube_catalogue("ASTM-B280-drawn").inside_diameters_m
    chosen = random.Random(1)
    pure = circuit.refrigerant == PURE
    fluid = Fluid(circuit.refrigerant if pure else f"{circuit.refrigerant}.mix")
    sample = SAMPLE if pure else 2
    total = 0.0
    for gas in (True, False):
        points = route(LEGS) if gas else route(LEGS)[::-1]
        begin = time.perf_counter()
        for _ in range(sample):
            loop_line(fluid, points, float(chosen.choice(bores[5:])), chosen.choice(circuit.conditions), gas=gas)
        total += (time.perf_counter() - begin) / sample * len(bores) * len(circuit.conditions)
    return total


def loop_line(fluid: Fluid, points: list[Point], bore: float, one: Condition, *, gas: bool) -> float:
    """Return a line's drop in one size at one condition, leg by leg; states by temperature and pressure, as mixtures
    have no other.
    """
    phase = "vapour" if gas else "liquid"
    hot_K, cold_K = one.condensing_C + ZERO_C, float(one.evaporating_C or 0.0) + ZERO_C
    condensing_Pa = fluid.pressure(hot_K, 1.0)
    start = fluid.by_temperature("vapour", fluid.pressure(cold_K, 1.0), cold_K + one.superheat_K)
    suction, entropy = start.hmass(), start.smass()
    bubble_K = fluid.saturation_temperature(condensing_Pa, 0.0)
    liquid = fluid.by_temperature("liquid", condensing_Pa, bubble_K - one.subcooling_K).hmass()
    flow = one.capacity_W / (suction - liquid)
    flux = flow / (0.25 * 3.141592653589793 * bore**2)
    start_Pa, guess_K = condensing_Pa, hot_K + 25.0 if gas else hot_K - 10.0
    for _ in range(COMPRESSOR_ROUNDS if gas else 1):
        enthalpy = liquid
        if gas:
            enthalpy = suction + (fluid.by_entropy(start_Pa, entropy, guess_K).hmass() - suction) / 0.68
        pressure = condensing_Pa
        pairs = list(pairwise(points))
        for (x0, y0, z0), (x1, y1, z1) in reversed(pairs) if gas else pairs:
            length = abs(x1 - x0) + abs(y1 - y0) + abs(z1 - z0)
            drop = 0.0
            for _ in range(LEG_ROUNDS):
                state = fluid.by_enthalpy(phase, pressure + (0.5 if gas else -0.5) * drop, enthalpy, guess_K)
                density, viscosity, guess_K = state.rhomass(), state.viscosity(), state.T()
                reynolds = flux * bore / viscosity
                friction = friction_factor(reynolds, 1.5e-6 / bore)
                bend = Darby3K(Re=reynolds, Di=bore, K1=800.0, Ki=0.071, Kd=4.2)
                drop = (friction * length / bore + bend) * flux**2 / (2.0 * density) + density * GRAVITY * (z1 - z0)
            if gas and z1 > z0:
                _ = flux / (0.7225 * (density * GRAVITY * bore * (FILM - density)) ** 0.5)
            pressure += drop if gas else -drop
        start_Pa = pressure
    return abs(start_Pa - condensing_Pa)


def command_line() -> tuple[float, float]:
    """Return the best wall time of ``linesizer size FILE --json`` and of importing numpy, [s]."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.json"
        write(path, made(12, 2))
        runs: list[list[str]] = [["-m", "linesizer", "size", str(path), "--json"], ["-c", "import numpy"]]
        best = [float("inf"), float("inf")]
        for _ in range(8):
            for place, words in enumerate(runs):
                begin = time.perf_counter()
                done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, check=True)
                best[place] = min(best[place], time.perf_counter() - begin)
                if place == 0:
                    json.loads(done.stdout)
    return best[0], best[1]


def main() -> None:
    """Measure and print."""
    say = sys.stdout.write
    say(f"{platform.machine()}, {platform.python_implementation()} {platform.python_version()}\n")
    say(f"{LEGS} legs x 2 lines x {CONDITIONS} conditions x all sizes, with findings, ms median (best):\n")
    for refrigerant in (PURE, MIXTURE):
        times = spent(lambda refrigerant=refrigerant: made(refrigerant=refrigerant))  # type: ignore[misc]
        own, loop = statistics.median(times), looped_s(made(refrigerant=refrigerant))
        say(f"  {refrigerant}, everything new {1e3 * own:6.1f} ({1e3 * min(times):.1f})")
        say(f"   as a loop {loop:.1f} s: {loop / own:,.0f} times, at best {loop / min(times):,.0f}\n")
    whole = made()
    circuit = whole.circuits[0]

    def dragged() -> Job:
        line = circuit.lines[0]
        nodes = tuple(replace(node, at_m=(node.at_m[0], node.at_m[1] + 0.0, node.at_m[2])) for node in line.nodes)
        return replace(whole, circuits=(replace(circuit, lines=(replace(line, nodes=nodes), circuit.lines[1])),))

    times = spent(dragged)
    say(f"  one line dragged      {1e3 * statistics.median(times):6.1f} ({1e3 * min(times):.1f})\n")
    times = spent(lambda: made(heat=True), rounds=8)
    say(f"  exchanging heat       {1e3 * statistics.median(times):6.1f} ({1e3 * min(times):.1f})\n")
    say("legs, 40 conditions: ms at best, ms a leg\n")
    for legs in (10, 30, 100, 300, 1000):
        least = min(spent(lambda legs=legs: made(legs), rounds=6))  # type: ignore[misc]
        say(f"  {legs:5} {1e3 * least:8.1f} {1e3 * least / legs:8.3f}\n")
    practice = practice_set("general")
    result = solve(made(12)).circuits[0]
    times = spent(lambda: whole, lambda one: oil_return_map(result, one.site, practice), rounds=10)
    say(f"oil-return map 60 x 60, 12 legs: {1e3 * statistics.median(times):.1f} ({1e3 * min(times):.1f}) ms\n")
    ran, imported = command_line()
    say(f"command line, file to result: {1e3 * ran:.0f} ms, {ran / imported:.1f} times importing numpy\n")


if __name__ == "__main__":
    main()
