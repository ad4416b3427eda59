"""What a drawing costs: python tests/benchmarks/bench_drawing.py.

Medians (and best times) over many repetitions, in milliseconds; nothing is asserted.
"""

from __future__ import annotations

import importlib.util
import platform
import statistics
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import ModuleType

from linesizer.drawing.hit import hits
from linesizer.drawing.labels import lay_out
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M
from linesizer.drawing.scene import build_scene

_ROUNDS = 25


def main() -> None:
    """Print medians and best times for drawings of 10 to 300 legs, a drag, the labels alone and a hit test."""
    say = sys.stdout.write
    say(f"{platform.machine()}, {platform.python_implementation()} {platform.python_version()}\n")
    jobs = _invented_jobs()
    row = "{:>5} {:>6} {:>16} {:>16} {:>16} {:>14} {:>8}\n"
    say(row.format("legs", "zoom", "whole drawing", "in a drag", "labels alone", "one hit test", "hidden"))
    for legs in (10, 60, 300):
        for zoom in (0.5, 1.0, 2.0, 4.0):
            circuits = [jobs.long_job(legs)]
            options = SceneOptions(scale=zoom * FULL_SIZE_UNITS_PER_M)
            scene = build_scene(circuits, options)
            spot = next(iter(scene.nodes.values()))
            say(
                row.format(
                    legs,
                    f"{zoom:.0%}",
                    _timed(partial(build_scene, circuits, options)),
                    _timed(partial(build_scene, circuits, options, scene.slots)),
                    _labels(circuits, options),
                    _timed(partial(hits, scene.display, spot)),
                    len(scene.hidden),
                )
            )


def _timed(call: Callable[[], object]) -> str:
    call()
    times = []
    for _ in range(_ROUNDS):
        start = time.perf_counter()
        call()
        times.append(1e3 * (time.perf_counter() - start))
    return f"{statistics.median(times):.2f} ({min(times):.2f})"


def _labels(circuits: list[object], options: SceneOptions) -> str:
    """Return the time of the layout alone, by what it takes of whole drawings."""
    import linesizer.drawing.scene as scene

    spent: list[float] = []

    def timed(*arguments: object) -> object:
        start = time.perf_counter()
        answer = lay_out(*arguments)  # type: ignore[arg-type]
        spent.append(1e3 * (time.perf_counter() - start))
        return answer

    scene.lay_out = timed  # type: ignore[assignment]
    try:
        for _ in range(_ROUNDS):
            build_scene(circuits, options)  # type: ignore[arg-type]
    finally:
        scene.lay_out = lay_out
    return f"{statistics.median(spent):.2f} ({min(spent):.2f})"


def _invented_jobs() -> ModuleType:
    name = "drawing_invented_jobs"
    path = Path(__file__).parents[1] / "drawing" / "invented_jobs.py"
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        raise FileNotFoundError(path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


if __name__ == "__main__":
    main()
