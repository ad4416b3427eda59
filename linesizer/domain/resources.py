"""Where the shipped data lie: tables, catalogues, schemas, icons and manual pages."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def resource(*parts: str) -> Path:
    """Return the path of one shipped file or folder, whether or not it exists.

    An installed program carries ``resources`` inside the package, a source tree beside it; the package's own wins.

    Parameters
    ----------
    *parts : str
        Names of the folders and the file below ``resources``, e.g. ``resource("refrigerants", "facts.json")``.

    Returns
    -------
    Path
        Absolute path; with no parts the ``resources`` folder itself.
    """
    own = _PACKAGE / "resources"
    root = own if own.is_dir() else _PACKAGE.parent / "resources"
    return root.joinpath(*parts)
