"""What every test stands on."""

import os

# Before any test imports Qt.  Name another platform in the environment to see the windows.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
