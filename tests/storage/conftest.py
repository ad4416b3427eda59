"""What the tests of storage share."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """Return a folder that everybody can reach and write; the usual temporary ones are closed to others."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o777)
        yield folder
        folder.chmod(0o777)
