"""Make the project's own Python environment in ``.venv``, then start a command in it.

``samples/run.py`` and ``tests/run.py`` share this file and load it by its path, as nothing is installed yet when they
start.  Hence the standard library alone, nothing from the package, and the syntax of Python 3.8: whichever ``python3``
a machine has must get far enough to say what is needed.
"""

from __future__ import annotations

import contextlib
import ctypes
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import IO, Iterator, Sequence

OLDEST = (3, 11)
TOO_NEW = (3, 15)  # the Qt releases that pyproject.toml admits do not install on it

# What Qt loads from the system, and the Debian and Ubuntu package that holds it.
OFFSCREEN_LIBRARIES = {
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libdbus-1.so.3": "libdbus-1-3",
}
FONT_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts")
WINDOW_LIBRARIES = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
}


class SetUpError(Exception):
    """What is missing and what the person can do about it."""


def run(root: Path, command: Sequence[str], extras: Sequence[str] = (), window: bool = False) -> int:
    """Set up ``.venv`` in ``root`` where needed, then run its Python with the arguments ``command``.

    ``extras`` are those of pyproject.toml to install; ``window`` says that a window opens where there is a display.
    Return the exit code, 2 if the set-up is not possible.  Except on Windows the command takes this process over.
    """
    try:
        python = set_up(root, extras, window)
    except SetUpError as problem:
        print(problem, file=sys.stderr)
        return 2
    except OSError as problem:
        print(f"The set-up in {root} stopped: {problem}\nPut that right and run the same again.", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("\nInterrupted. Run the same again to go on.", file=sys.stderr)
        return 130
    return start([str(python), *command])


def set_up(root: Path, extras: Sequence[str] = (), window: bool = False) -> Path:
    """Return the Python of ``.venv``, made or mended first where it does not fit; SetUpError says what is missing."""
    base = suitable_python()
    venv = Venv(root)
    display = window and bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    if not venv.fits(extras) or missing_packages(display):
        with locked(root / ".venv.lock") as lock:
            fits = venv.fits(extras)  # another run may have done the work meanwhile
            bring_packages(display, None if fits else base, lock)
            if not fits:
                venv.make(base, extras, lock)
    return venv.python


def suitable_python(version: tuple[int, ...] = tuple(sys.version_info[:2])) -> str:
    """Return the path of a Python that will do: this one, which is of ``version``, or one found beside it."""
    if OLDEST <= version < TOO_NEW:
        # Inside an environment, the Python below it, so that the Python of .venv itself can have .venv rebuilt.
        return str(getattr(sys, "_base_executable", None) or sys.executable)
    for minor in range(TOO_NEW[1] - 1, OLDEST[1] - 1, -1):
        launcher = ["py", f"-3.{minor}"] if sys.platform == "win32" else [f"python3.{minor}"]
        found = ask_python(launcher)
        if found and found[1] == (3, minor):
            return found[0]
    this = f"{'.'.join(map(str, version))} ({sys.executable})"
    again = "py -3.13" if sys.platform == "win32" else "python3.13"
    raise SetUpError(
        f"Python 3.{OLDEST[1]} to 3.{TOO_NEW[1] - 1} is needed; this is {this} and no other was found.\n"
        f"Install one, say 3.13, from your system's packages or from python.org, then run:\n  {again} {sys.argv[0]}"
    )


def ask_python(launcher: Sequence[str]) -> tuple[str, tuple[int, int]] | None:
    """Return the path and the version of the Python that ``launcher`` starts, None if it starts none.

    A name on the path is not enough: it may belong to a launcher that has no such Python.
    """
    question = "import sys; print(sys.executable, *sys.version_info[:2], sep='\\n')"
    try:
        answer = subprocess.check_output(
            [*launcher, "-c", question], stderr=subprocess.DEVNULL, text=True, env=own_paths()
        )
        path, major, minor = answer.splitlines()
        return path, (int(major), int(minor))
    except (OSError, ValueError, subprocess.CalledProcessError):
        return None


def missing_packages(display: bool, base: str | None = None) -> dict[str, str]:
    """Return what this system lacks, and the Debian package that holds each.

    Qt's libraries are always looked at, those of a window where there is a ``display``; what Python needs to make an
    environment only if ``base``, the Python to make it with, is given.
    """
    missing = {}
    if sys.platform == "linux":
        libraries = {**OFFSCREEN_LIBRARIES, **(WINDOW_LIBRARIES if display else {})}
        missing.update({name: package for name, package in libraries.items() if not loads(name)})
        if not has_font(FONT_FOLDERS):
            missing["a font"] = "fonts-dejavu-core"
    if base and not succeeds([base, "-c", "import venv, ensurepip"]):
        found = ask_python([base])
        missing["Python's venv"] = f"python3.{found[1][1]}-venv" if found else "python3-venv"
    return missing


def has_font(folders: Sequence[str]) -> bool:
    """Tell whether one of ``folders`` holds a font; without any, Qt draws every letter as a box."""
    for folder in folders:
        for _, _, names in os.walk(os.path.expanduser(folder)):
            if any(name.lower().endswith((".ttf", ".otf", ".ttc", ".pfb")) for name in names):
                return True
    return False


def loads(library: str) -> bool:
    """Tell whether the system's loader finds ``library``."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def bring_packages(display: bool, base: str | None, lock: IO[bytes]) -> None:
    """Install the system packages that are missing, or raise SetUpError with the one command that does."""
    missing = missing_packages(display, base)
    if not missing:
        return
    lack = f"Missing on this system: {', '.join(missing)}."
    packages = " ".join(missing.values())
    if not shutil.which("apt-get"):
        raise SetUpError(
            f"{lack}\nInstall it with the system's own means (Debian's packages: {packages}), then run again."
        )
    install = f"apt-get install -y --no-install-recommends {packages}"
    if sys.platform == "win32" or os.geteuid() != 0:
        line = (
            f"sudo apt-get update && sudo {install}"
            if shutil.which("sudo")
            else f"su - -c 'apt-get update && {install}'"
        )
        raise SetUpError(f"{lack} Type this once, then run the same again:\n  {line}")
    say(f"bringing system packages: {packages}")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    try:
        run_quietly(["apt-get", "update"], environment, Path.cwd(), lock)
    except SetUpError as problem:  # one stale list among many; what is wanted may well be in the others
        say(str(problem))
    run_quietly(install.split(), environment, Path.cwd(), lock)
    missing = missing_packages(display, base)
    if missing:
        raise SetUpError(f"Still missing after {install}: {', '.join(missing)}.")


class Venv:
    """The folder ``.venv`` of the project in ``root``.

    Its stamp is emptied before anything changes and written last.  So a folder with an empty stamp was left half-made
    and is built anew, while one without a stamp was made by hand and is kept if it works.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self.folder = root / ".venv"
        self.python = self.folder / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
        self.stamp = self.folder / "set-up.json"

    def fits(self, extras: Sequence[str]) -> bool:
        """Tell whether nothing needs doing before a command that wants ``extras``."""
        stamp = self.read_stamp() or {}
        return stamp == self.full_stamp(with_extras(extras, stamp))

    def make(self, base: str, extras: Sequence[str], lock: IO[bytes]) -> None:
        """Make or mend the folder with the Python ``base``, and install the project with ``extras``."""
        began = time.monotonic()
        before = self.read_stamp()
        if (before is None or before.get("folder") == str(self.root)) and succeeds(
            [str(self.python), "-m", "pip", "-V"]
        ):
            self.write_stamp({})
            say("installing what is new or changed")
        else:
            self.build(base, lock)
            before = {}
            say("installing the packages; this fetches a few hundred megabytes")
        wanted = with_extras(extras, before or {})
        pip = [str(self.python), "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--editable"]
        try:
            run_quietly([*pip, f".[{wanted}]" if wanted else "."], own_paths(), self.root, lock)
        except SetUpError:
            # pip itself puts back what it had begun, so this is what it was before.
            if before is None:
                self.stamp.unlink()
            else:
                self.write_stamp(before)
            raise
        self.write_stamp(self.full_stamp(wanted))
        say(f"ready after {time.monotonic() - began:.0f} s")

    def build(self, base: str, lock: IO[bytes]) -> None:
        """Make the folder anew, with pip in it and an empty stamp."""
        there = os.path.lexists(str(self.folder))
        say(f"{'mending' if there else 'making'} .venv; later runs start straight away")
        if self.folder.is_dir() and not self.folder.is_symlink():
            if os.path.lexists(str(self.python)):
                self.python.unlink()  # first, so that a deletion cut short does not leave what seems to work
            shutil.rmtree(str(self.folder))
        elif there:
            self.folder.unlink()
        self.folder.mkdir()
        self.write_stamp({})
        run_quietly([base, "-m", "venv", str(self.folder)], own_paths(), self.root, lock)

    def full_stamp(self, extras: str) -> dict[str, str]:
        """Return the stamp of a folder with ``extras`` in it; its ``python`` is empty if it has none that will do."""
        found = ask_python([str(self.python)])
        return {
            "pyproject": hashlib.sha256((self.root / "pyproject.toml").read_bytes()).hexdigest(),
            "extras": extras,
            "folder": str(self.root),  # scripts in it name the folder, so it cannot be moved
            "python": f"3.{found[1][1]}" if found and OLDEST <= found[1] < TOO_NEW else "",
        }

    def read_stamp(self) -> dict[str, str] | None:
        """Return what stands in the stamp, nothing for a half-made folder, None where there is no stamp."""
        try:
            stamp = json.loads(self.stamp.read_text(encoding="utf-8"))
        except (FileNotFoundError, NotADirectoryError):
            return None
        except ValueError:
            return {}
        return stamp if isinstance(stamp, dict) else {}

    def write_stamp(self, stamp: dict[str, str]) -> None:
        """Replace the stamp in one step, so that it is never half-written."""
        new = self.stamp.with_name("set-up.new")
        new.write_text(json.dumps(stamp, indent=1), encoding="utf-8")
        os.replace(str(new), str(self.stamp))


def with_extras(extras: Sequence[str], stamp: dict[str, str]) -> str:
    """Return ``extras`` and those of ``stamp`` as pip writes them."""
    return ",".join(sorted({*extras, *filter(None, stamp.get("extras", "").split(","))}))


@contextlib.contextmanager
def locked(path: Path) -> Iterator[IO[bytes]]:
    """Hold the lock file ``path``, after waiting for the run that holds it; a run that dies lets go of it."""
    with open(str(path), "a+b") as file:
        waiting = False
        while not lock_at_once(file):
            if not waiting:
                say("another run is setting up; waiting for it")
            waiting = True
            time.sleep(0.2)
        yield file


def lock_at_once(file: IO[bytes]) -> bool:
    """Lock ``file`` until it is closed; tell whether that was possible."""
    try:
        if sys.platform == "win32":
            import msvcrt

            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def run_quietly(command: Sequence[str], environment: dict[str, str], folder: Path, lock: IO[bytes]) -> None:
    """Run ``command`` in ``folder`` and raise SetUpError with its last words if it fails.

    It inherits ``lock`` and writes to a file, so that if this process is killed it goes on undisturbed and no other
    run begins before it ends.
    """
    inherited = () if sys.platform == "win32" else (lock.fileno(),)
    with tempfile.TemporaryFile("w+", errors="replace") as log:
        with subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=log,
            env=environment,
            cwd=str(folder),
            pass_fds=inherited,
        ) as process:
            began = time.monotonic()
            while process.poll() is None:
                with contextlib.suppress(subprocess.TimeoutExpired):
                    process.wait(timeout=1)
                if sys.stderr.isatty():
                    print(f"\r  {time.monotonic() - began:.0f} s ", end="\r", file=sys.stderr, flush=True)
        if process.returncode != 0:
            log.seek(0)
            said = "".join(f"  | {line}" for line in log.readlines()[-15:])
            raise SetUpError(
                f"{said}\n{' '.join(command[:4])} ended with {process.returncode}. If the network was out of reach or"
                " the disk full, put that right and run the same again."
            )


def succeeds(command: Sequence[str]) -> bool:
    """Tell whether ``command`` starts and ends well."""
    try:
        return subprocess.call(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=own_paths()) == 0
    except OSError:
        return False


def own_paths() -> dict[str, str]:
    """Return the environment variables without those that lead a Python to the packages of another."""
    astray = ("PYTHONHOME", "PYTHONPATH", "__PYVENV_LAUNCHER__")
    return {**{name: value for name, value in os.environ.items() if name not in astray}, "PIP_USER": "0"}


def start(command: Sequence[str]) -> int:
    """Run ``command`` and return its exit code; except on Windows it takes this process over."""
    sys.stdout.flush()
    sys.stderr.flush()
    if sys.platform == "win32":
        try:
            return subprocess.call(command, env=own_paths())
        except KeyboardInterrupt:
            return 130
    os.execve(command[0], list(command), own_paths())


def say(text: str) -> None:
    """Tell the person what happens; standard output belongs to the command that is started."""
    print(f"linesizer: {text}", file=sys.stderr, flush=True)
