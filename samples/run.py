"""Set up the project and size a sample: ``python3 samples/run.py`` (on Windows ``py samples/run.py``)."""

import sys
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parent.parent
SAMPLE = ROOT / "samples" / "condenser-above.json"

# By its path: the package around it may import what is not installed yet.
loader = SourceFileLoader("environment", str(ROOT / "linesizer" / "environment.py"))
environment = ModuleType(loader.name)
loader.exec_module(environment)

if __name__ == "__main__":
    sys.exit(environment.run(ROOT, ["-m", "linesizer", "size", str(SAMPLE), *sys.argv[1:]], window=True))
