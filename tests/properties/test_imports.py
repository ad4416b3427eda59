"""Reading a table needs numpy alone: CoolProp takes seconds to import, scipy half of one."""

from __future__ import annotations

import subprocess
import sys

PROGRAM = """
import sys
from linesizer.properties import library
from linesizer.properties.summary import describe_all
describe_all()
table = library.load("R454B")
table.vapour_ps(1e6, table.saturated_vapour(1e6).entropy_J_kgK + 10.0)
table.liquid_pt(2e6, 300.0)
for name in ("CoolProp", "scipy", "chemicals", "pydantic", "PySide6"):
    assert not [module for module in sys.modules if module.split(".")[0] == name], name
"""


def test_run_time_side_imports_neither_coolprop_nor_scipy() -> None:
    done = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
