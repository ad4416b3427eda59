"""All figures at once: ``.venv/bin/python tests/benchmarks/run.py [NAME ...]``, on a machine that does nothing else.

Runs what is named (``solve sizing check document drawing sheet window``), by default ``solve``, ``sizing`` and
``check``, one after the other in processes of their own, and says on what machine.
"""

from __future__ import annotations

import os
import platform
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
USUAL = ("solve", "sizing", "check")


def processor() -> str:
    """Return what the processor calls itself."""
    listed = Path("/proc/cpuinfo")
    lines = listed.read_text("utf-8").splitlines() if listed.exists() else []
    named = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(named, platform.processor() or platform.machine())


def main(names: list[str]) -> int:
    """Run the benchmarks that are named; return the first exit code that is not 0."""
    system = f"{platform.system()} {platform.release()}"
    sys.stdout.write(f"{processor()}, {os.cpu_count()} processors, {system}, Python {platform.python_version()}\n")
    for name in names or USUAL:
        path = HERE / f"bench_{name}.py"
        if not path.exists():
            known = ", ".join(sorted(own.stem.removeprefix("bench_") for own in HERE.glob("bench_*.py")))
            sys.stderr.write(f"no benchmark {name!r}; there are {known}\n")
            return 2
        sys.stdout.write(f"\n== {name}\n")
        sys.stdout.flush()
        done = subprocess.run([sys.executable, str(path)], cwd=HERE.parent.parent, check=False)
        if done.returncode:
            return done.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
