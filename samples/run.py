"""Set up the project and open a sample: ``python3 samples/run.py`` (on Windows ``py samples/run.py``)."""

import os
import sys
import tempfile
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parent.parent
SAMPLE = ROOT / "samples" / "condenser-above.json"
PICTURE = os.path.join(tempfile.gettempdir(), "linesizer-sample.png")

# By its path: the package around it may import what is not installed yet.
loader = SourceFileLoader("environment", str(ROOT / "linesizer" / "environment.py"))
environment = ModuleType(loader.name)
loader.exec_module(environment)

if __name__ == "__main__":
    command = ["-m", "linesizer", "open", str(SAMPLE), "--copy", "--otherwise", PICTURE, *sys.argv[1:]]
    sys.exit(environment.run(ROOT, command, window=True))
