"""python3 -m builder COMMAND ... on a machine with nothing but Python and pip.

In a clone: makes .venv beside the code, installs the pinned packages into it, and starts the
command there. An installed copy has its packages, and starts at once. Whatever Python the machine
has reads this file first: standard library only, and nothing newer than Python 3.6 in its syntax,
so that an old Python gets a sentence and not a syntax error.
"""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

OLDEST = (3, 11)
ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
STAMP = VENV / "builder-stamp.txt"
INPUTS = ("pyproject.toml", "builder/constraints.txt")


def start(argv):
    """Runs one command, in a clone inside .venv, made or renewed first where that is needed; gives
    its exit code. Help and wrong usage end before that."""
    if sys.version_info[:2] < OLDEST:
        stop(f"needs Python {OLDEST[0]}.{OLDEST[1]} or newer, and this is {this_python()}.", 2)
    from builder import cli
    asked = cli.parse(argv)
    if not (ROOT / INPUTS[0]).exists():
        return cli.perform(asked)  # an installed copy, whose packages came with it
    try:
        make_ready("test" if asked.do in (cli.test, cli.lint) else "")
    except OSError as error:
        stop(f"cannot write {error.filename or VENV}: {error.strerror}.")
    if is_inside():
        return cli.perform(asked)
    command = [str(PYTHON), "-m", "builder", *argv]
    if os.name == "nt":  # which has no exec
        return subprocess.call(command, env=own_variables())
    return os.execve(command[0], command, own_variables())


def stop(sentence, code=1):
    say(sentence)
    sys.exit(code)


def say(text):
    sys.stderr.write(f"builder: {text}\n")
    sys.stderr.flush()


def this_python():
    return f"Python {'.'.join(map(str, sys.version_info[:3]))} ({sys.executable})"


def is_inside():
    return VENV.is_dir() and os.path.samefile(sys.prefix, str(VENV))


def make_ready(extra):
    """Brings .venv up to what the clone asks for, with the packages of `extra`. Its stamp says for
    what it was made: it goes first and comes back last."""
    enough = (wanted_stamp(extra), wanted_stamp("test"))
    if read_stamp() in enough:
        return
    say("making .venv ready; the first time takes a minute or two")
    from builder.files.one_at_a_time import alone
    with alone(Path(f"{VENV}.lock")):   # one start at a time
        stamp = read_stamp()
        if stamp in enough:
            return  # another start did it meanwhile
        if STAMP.exists():
            STAMP.unlink()
        wanted = wanted_stamp("test" if stamp[2:] == ["test"] else extra)
        # Where only packages changed, nothing is cleared: a server running in .venv goes on. And
        # nobody can clear what they stand on.
        install(wanted[2], afresh=stamp[:1] != wanted[:1] and not is_inside())
        STAMP.write_text("\n".join(wanted), encoding="utf-8")


def read_stamp():
    """The lines of the stamp; none where .venv isn't whole."""
    whole = STAMP.exists() and PYTHON.exists()
    return STAMP.read_text(encoding="utf-8", errors="replace").split("\n") if whole else []


def wanted_stamp(extra):
    """Which Python for which folder, since a copied clone brings along the .venv of the original;
    the pins as they are; the extra packages."""
    digest = hashlib.sha256(b"\0".join((ROOT / name).read_bytes() for name in INPUTS))
    version = ".".join(map(str, sys.version_info[:2]))
    return [f"Python {version} in {os.path.realpath(sys.base_prefix)} for {ROOT}",
            digest.hexdigest(), extra]


def install(extra, afresh):
    """Installs the pinned packages, by the pip of the Python that .venv is made of: Debian's can
    make none inside."""
    base = getattr(sys, "_base_executable", None) or sys.executable
    pip = [base, "-m", "pip", "--python", str(PYTHON)]
    if afresh:
        run(f"{this_python()} can't make .venv: is its module venv missing, or a file in the way?",
            base, "-m", "venv", "--clear", "--without-pip", str(VENV))
    run(f"{this_python()} has no pip of 22.3 or newer: install it (on Debian or Ubuntu, "
        "'apt install python3-pip').", *pip, "--version")
    # Editable, since MkDocs finds the plugin by its entry point.
    run("the packages could not be installed: see pip's lines above.", *pip, "install",
        "--no-input", "--no-user", "-c", INPUTS[1], "-e", f".[{extra}]" if extra else ".")


def run(otherwise, *command):
    """Runs a command in the clone; where it fails, ends with its last lines and a sentence."""
    done = subprocess.run(command, cwd=str(ROOT), env=own_variables(), stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    if done.returncode != 0:
        output = done.stdout.decode("utf-8", "replace")
        sys.stderr.writelines(f"    {line}\n" for line in output.strip().splitlines()[-20:])
        stop("pip reached no packages: is there a network? Then start it again."
             if "(from versions: none)" in output else otherwise)


def own_variables():
    """The variables without those through which another environment reaches in."""
    others = ("PYTHONHOME", "PYTHONPATH", "VIRTUAL_ENV")
    return {name: value for name, value in os.environ.items() if name not in others}


if __name__ == "__main__":
    try:
        sys.exit(start(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
