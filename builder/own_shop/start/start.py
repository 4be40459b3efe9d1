"""Starts this workshop: makes ready what it needs, shows its pages in the browser, and follows
every change until the window is closed. A second start opens the pages of the first.

start.bat (Windows), start.command (Mac) and start.sh (Linux) call this file. With words behind it,
it runs that command instead: python3 start.py check

What it installs lies outside this folder, in one of this user and this machine, since folders that
are synchronised would carry it to others. A backup brings it along in packages/ and needs no
network. Standard library only.
"""

import hashlib
import os
import subprocess
import sys
import sysconfig
from pathlib import Path

OLDEST = (3, 11)
HERE = Path(__file__).resolve().parent
PACKAGES = HERE / "packages"
MADE_FOR = PACKAGES / "made-for.txt"
REQUIREMENTS = HERE / "requirements.txt"


def main(words):
    if sys.version_info[:2] < OLDEST:
        stop(f"This needs Python {OLDEST[0]}.{OLDEST[1]} or newer, from python.org; this is Python "
             f"{sys.version.split()[0]}.")
    variables = {name: value for name, value in os.environ.items()
                 if name not in ("PYTHONHOME", "PYTHONPATH", "VIRTUAL_ENV")}
    if PACKAGES.is_dir():
        python = with_packages(variables)
    else:
        try:
            python = installed(variables)
        except OSError as error:
            stop(f"{error.filename} can't be written: {error.strerror}.")
    return subprocess.call([python, "-m", "builder", *(words or ["serve", "--open"])],
                           cwd=str(HERE), env=variables)


def this_python():
    return f"Python {sys.version_info[0]}.{sys.version_info[1]} on {sysconfig.get_platform()}"


def with_packages(variables):
    """This Python, which finds the packages of a backup."""
    made_for = MADE_FOR.read_text("utf-8").strip()
    if made_for != this_python():
        stop(f"The folder 'packages' was made for {made_for}, and this is {this_python()}. Start "
             "it there; or, with a network, delete that folder and start again.")
    variables["PYTHONPATH"] = str(PACKAGES)
    return sys.executable


def installed(variables):
    """The Python of an environment that has what requirements.txt names; made where there is none
    for these lines and this Python. The last one stays until the new one is whole."""
    shop = hashed(str(HERE))
    made = home() / (shop + "-" + hashed(REQUIREMENTS.read_text("utf-8") + this_python()))
    python = made / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    whole = made / "whole.txt"
    if whole.exists() and python.exists():
        return str(python)
    home().mkdir(parents=True, exist_ok=True)
    with open(str(home() / (shop + ".lock")), "a+") as lock:
        alone(lock)
        if not whole.exists():
            print("Making it ready; the first time takes a minute or two and a network.",
                  flush=True)
            run(variables, "Python can't make a place for the packages. On Debian or Ubuntu, "
                "'apt install python3-venv' helps.",
                sys.executable, "-m", "venv", "--clear", str(made))
            pip = [str(python), "-m", "pip", "--disable-pip-version-check", "install", "--quiet"]
            no_network = ("The packages could not be installed: see the lines above. Is there a "
                          "network, and is requirements.txt right?")
            # First the tool alone, which says which versions of the others it was tested with.
            run(variables, no_network, *pip, "--no-deps", "-r", str(REQUIREMENTS))
            pins = subprocess.check_output(
                [str(python), "-c", "import builder, os; print(os.path.join(os.path.dirname("
                 "builder.__file__), 'constraints.txt'))"], cwd=str(HERE), env=variables)
            run(variables, no_network, *pip, "-c", pins.decode().strip(), "-r", str(REQUIREMENTS))
            whole.write_text("", "utf-8")
    for other in home().glob(shop + "-*"):
        if other != made:
            remove(other)
    return str(python)


def hashed(text):
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()[:12]


def home():
    """Where programs keep on this machine what they can make again."""
    if os.name == "nt":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData/Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library/Caches")
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "metersheets"


def alone(lock):
    """One start at a time makes it ready."""
    try:
        if os.name == "nt":
            import msvcrt
            lock.seek(0)
            msvcrt.locking(lock.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        stop("Another start of this workshop is making it ready: wait for that one.")


def remove(folder):
    import shutil
    shutil.rmtree(str(folder), ignore_errors=True)


def run(variables, otherwise, *command):
    if subprocess.call(command, cwd=str(HERE), env=variables) != 0:
        stop(otherwise)


def stop(sentence):
    sys.stderr.write(sentence + "\n")
    sys.exit(1)


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(0)
