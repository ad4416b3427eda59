"""What checking many files costs: jobs a second in one process and in two, and the memory that 100 and 1,000 take.

Jobs vary the samples' loads and lengths.  Run from the project's folder, on a machine that does nothing else:
``.venv/bin/python tests/benchmarks/bench_check.py``.  The memory is that of the largest process (not on Windows).
"""

from __future__ import annotations

import copy
import json
import os
import platform
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
MANY, FEW = 1000, 100

PEAK = """
import resource, sys
from linesizer.cli import main
main(sys.argv[1:])
most = max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
print(most / (1024**2 if sys.platform == "darwin" else 1024), file=sys.stderr)
"""


def write_jobs(folder: Path, count: int) -> list[Path]:
    """Write that many jobs, each a sample with another load and other lengths."""
    samples = [json.loads(path.read_text("utf-8")) for path in sorted((ROOT / "samples").glob("*.json"))]
    chance = random.Random(1)
    paths = []
    for number in range(count):
        job = copy.deepcopy(samples[number % len(samples)])
        scale = chance.uniform(0.7, 1.3)
        for circuit in job["circuits"]:
            for condition in circuit["conditions"]:
                condition["capacity_W"] *= scale
            for line in circuit["lines"]:
                line["nodes"] = {name: [scale * x, scale * y, z] for name, (x, y, z) in line["nodes"].items()}
        paths.append(folder / f"job{number:04}.json")
        paths[-1].write_text(json.dumps(job), encoding="utf-8")
    return paths


def run(paths: list[Path], processes: int) -> tuple[float, float]:
    """Return wall time, [s], and the peak memory of the largest process, [MB]."""
    words = ["check", *map(str, paths), "--processes", str(processes)]
    start = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", PEAK, *words], cwd=ROOT, capture_output=True, text=True, check=True)
    return time.perf_counter() - start, float(done.stderr)


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        paths = write_jobs(Path(folder), MANY)
        sys.stdout.write(f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}\n")
        for processes in (1, 2):
            for count in (FEW, MANY):
                seconds, megabytes = run(paths[:count], processes)
                sys.stdout.write(
                    f"{count:5} files, {processes} process{'es' if processes > 1 else '':2}: {seconds:6.2f} s, "
                    f"{count / seconds:5.0f} jobs a second, {megabytes:.0f} MB\n"
                )


if __name__ == "__main__":
    main()
