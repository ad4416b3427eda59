"""``python -m linesizer``."""

from __future__ import annotations

import sys

from linesizer.cli import main

if __name__ == "__main__":
    sys.exit(main())
