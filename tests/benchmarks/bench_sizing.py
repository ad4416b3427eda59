"""What the full sizing of a line costs: python tests/benchmarks/bench_sizing.py.

A line of 12 legs at 40 conditions (and the corners of the load grid): all combinations of a size for the level, the
climbing and the falling legs, against a loop that solves one combination after another with the program's own solver,
timed over a sample and scaled up. Medians and best times in milliseconds; nothing is asserted.
"""

from __future__ import annotations

import platform
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import islice, product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from linesizer.catalog.practice import practice_set
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.job import Job
from linesizer.domain.route import Point, Service
from linesizer.evaluate import propose_sizes
from linesizer.properties.library import load
from linesizer.sizing.groups import built, groups
from linesizer.solver.circuit_flow import solve_circuit_flow
from tests.solver.routes import chain, condition, job

ROUNDS = 15
SAMPLE = 60
ROUTE: list[Point] = [
    (0.0, 0.0, 0.0),
    (0.0, 0.0, 2.0),
    (5.0, 0.0, 2.0),
    (5.0, 0.0, 8.0),
    (12.0, 0.0, 8.0),
    (12.0, 3.0, 8.0),
    (12.0, 3.0, 12.0),
    (20.0, 3.0, 12.0),
    (20.0, 3.0, 10.0),
    (25.0, 3.0, 10.0),
    (25.0, 3.0, 14.0),
    (30.0, 3.0, 14.0),
    (30.0, 6.0, 14.0),
]


def main() -> None:
    """Print what sizing costs by arrays and in a loop."""
    say = sys.stdout.write
    say(f"{platform.machine()}, {platform.python_implementation()} {platform.python_version()}\n")
    row = "{:>34} {:>7} {:>13} {:>16} {:>14} {:>8}\n"
    say(row.format("line of 12 legs, 40 conditions", "heat", "combinations", "all, ms (best)", "loop, ms", "times"))
    for name, made in cases().items():
        line = made.circuits[0].lines[0]
        found = propose_sizes(made, "c1", line.id)
        if found is None:
            continue
        spent = times(lambda made=made, line=line: propose_sizes(made, "c1", line.id))  # type: ignore[misc]
        own = statistics.median(spent)
        loop = looped(made) * found.combinations
        shown = f"{1e3 * own:.1f} ({1e3 * min(spent):.1f})"
        heat = "yes" if made.circuits[0].heat_exchange else "no"
        say(row.format(name, heat, found.combinations, shown, f"{1e3 * loop:.0f}", f"{loop / own:.0f}"))


def cases() -> dict[str, Job]:
    """Return the jobs that are timed."""
    steady = [condition(f"k{i}", capacity_W=30e3 + 1e3 * (i % 31), condensing_C=30.0 + i // 2) for i in range(40)]
    wide = [condition(f"k{i}", capacity_W=15e3 + 5e3 * (i % 10), condensing_C=30.0 + i // 2) for i in range(40)]
    back = ROUTE[::-1]
    return {
        "gas": job(chain(ROUTE, size=None), conditions=steady),
        "gas, exchanging heat": job(chain(ROUTE, size=None), conditions=steady, heat_exchange=True),
        "gas, down to double risers": job(chain(ROUTE, size=None), conditions=wide),
        "liquid": job(chain(back, Service.LIQUID, size=None), conditions=steady),
    }


def looped(made: Job) -> float:
    """Return the time of solving one combination by itself, the mean of a sample, [s]."""
    circuit, practice = made.circuits[0], practice_set("general")
    line, table = circuit.lines[0], load(circuit.refrigerant)
    sizes = tube_catalogue(line.tube).size_names[3:9]
    parts = groups(line, practice)
    names = [[line.legs[place].id for place in group.legs] for group in parts]
    start = time.perf_counter()
    for choice in islice(product(sizes, repeat=len(parts)), SAMPLE):
        legs = tuple((leg, size) for own, size in zip(names, choice, strict=True) for leg in own)
        sized = replace(circuit, lines=(built(line, legs),))
        solve_circuit_flow(sized, made.site, practice, table)
    return (time.perf_counter() - start) / SAMPLE


def times(call: Callable[[], object]) -> list[float]:
    """Return the times of some calls after a first one, [s]."""
    call()
    spent = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        call()
        spent.append(time.perf_counter() - start)
    return spent


if __name__ == "__main__":
    main()
