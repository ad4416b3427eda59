"""Set up the project and run its tests: ``python3 tests/run.py`` (on Windows ``py tests/run.py``)."""

import sys
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parent.parent

# By its path: the package around it may import what is not installed yet.
loader = SourceFileLoader("environment", str(ROOT / "linesizer" / "environment.py"))
environment = ModuleType(loader.name)
loader.exec_module(environment)

if __name__ == "__main__":
    command = ["-m", "pytest", "-c", str(ROOT / "pyproject.toml"), *sys.argv[1:]]
    sys.exit(environment.run(ROOT, command, extras=["test"], window="--display" in sys.argv))
