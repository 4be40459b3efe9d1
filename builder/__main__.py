"""python3 -m builder COMMAND ... on a machine with nothing but Python and pip.

Makes .venv beside the code, installs the pinned packages into it, and starts the
command there. Whatever Python the machine has reads this file before anything is
installed: standard library only, and nothing newer than Python 2.7 in its syntax,
so that an old Python gets a sentence and not a syntax error.
"""

import contextlib
import difflib
import hashlib
import importlib
import json
import os
import subprocess
import sys
import time

from builder import COMMANDS, __version__, usage  # noqa: E402

ROOT = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
if not __package__:  # started as `python3 builder`, without -m
    sys.path[0] = ROOT

OLDEST = (3, 11)
PYTHON = "Python %d.%d" % sys.version_info[:2]
VENV = os.path.join(ROOT, ".venv")
VENV_PYTHON = os.path.join("Scripts", "python.exe") if os.name == "nt" else "bin/python"
STAMP = "builder-stamp.json"
INPUTS = ("pyproject.toml", "builder/constraints.txt")
HELP = ("-h", "--help")

# These would mix another environment's packages into ours.
DROPPED_VARIABLES = ("PYTHONHOME", "PYTHONPATH", "VIRTUAL_ENV", "__PYVENV_LAUNCHER__")
# Where packages come from is the machine's business; what to install where is ours,
# so no other variable of pip's gets through.
KEPT_PIP_VARIABLES = (
    "CACHE_DIR CERT CLIENT_CERT CONFIG_FILE DEFAULT_TIMEOUT EXTRA_INDEX_URL FIND_LINKS INDEX_URL"
    " KEYRING_PROVIDER NO_CACHE_DIR NO_INDEX PROXY RETRIES TIMEOUT TRUSTED_HOST"
).split()


def start(argv):
    """Run one command inside .venv, made first where needed; return the exit code."""
    if sys.version_info[:2] < OLDEST:
        this = "%d.%d.%d (%s)" % (sys.version_info[:3] + (sys.executable,))
        stop("needs Python %d.%d or newer, and this is Python %s." % (OLDEST + (this,)), 2)
    if argv[:1] == ["--version"]:
        print(__version__)
        return 0
    if not argv or argv[0] in HELP:
        print(usage())
        return 0 if argv else 2
    refuse_unknown(argv[0])
    if not os.path.exists(os.path.join(ROOT, INPUTS[0])):
        return run(argv)  # an installed copy, whose packages came with it

    wanted = wanted_stamp(ROOT, "test" if argv[0] == "test" else "")
    if differences(read_stamp(VENV), wanted):
        if any(word in argv for word in HELP):
            print(usage())  # a question installs nothing
            return 0
        with locked():
            refresh(read_stamp(VENV), wanted)
    return run(argv) if is_inside() else hand_over(argv)


def stop(sentence, code=1, output=""):
    """End with one sentence, after the last lines of what a failed program said."""
    for line in output.strip().splitlines()[-20:]:
        sys.stderr.write("    %s\n" % line)
    say(sentence)
    sys.exit(code)


def say(text):
    sys.stderr.write("builder: %s\n" % text)
    sys.stderr.flush()


def refuse_unknown(name):
    names = [command[0] for command in COMMANDS]
    if name not in names:
        near = difflib.get_close_matches(name, names, 1)
        hint = "did you mean '%s'?" % near[0] if near else "there are %s." % ", ".join(names)
        stop("unknown command '%s': %s" % (name, hint), 2)


# Is .venv ready?


def wanted_stamp(root, extra):
    """What .venv's stamp has to say for this start."""
    digest = hashlib.sha256()
    for name in INPUTS:
        with open(os.path.join(root, name), "rb") as file:
            digest.update(file.read() + b"\0")
    return {
        "root": root,  # a copied clone brings along a .venv that points to the original
        # The prefix, since it is the same seen from inside .venv and from outside.
        "python": PYTHON + " in " + os.path.realpath(sys.base_prefix),
        "extra": extra,
        "inputs": digest.hexdigest(),
    }


def read_stamp(venv):
    """The stamp as written, or {} if there is none that can be trusted."""
    try:
        with open(os.path.join(venv, STAMP)) as file:
            stamp = json.load(file)
    except (OSError, ValueError):
        return {}
    has_python = os.path.exists(os.path.join(venv, VENV_PYTHON))
    return stamp if has_python and isinstance(stamp, dict) else {}


def differences(stamp, wanted):
    """Where the stamp is stale; an environment with the test packages does for all."""
    both = dict(wanted, extra="test") if stamp.get("extra") == "test" else wanted
    return {key for key in both if stamp.get(key) != both[key]}


def is_inside():
    """Is this .venv's own Python?"""
    return os.path.isdir(VENV) and os.path.samefile(sys.prefix, VENV)


# Making it ready


@contextlib.contextmanager
def locked():
    """Let one start at a time touch .venv; the system ends the lock with the process."""
    try:
        file = open(VENV + ".lock", "a")
    except OSError as error:
        stop("cannot write in %s, where .venv has to be made: %s." % (ROOT, error.strerror))
    with file:
        if not try_lock(file):
            say("waiting for another start that is setting up .venv")
            while not try_lock(file):
                time.sleep(0.5)
        yield


def try_lock(file):
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        pass  # a file system without locks: better unguarded than not at all
    return True


def refresh(stamp, wanted):
    """Bring .venv up to what is wanted; the stamp goes first and comes back last."""
    changed = differences(stamp, wanted)
    if not changed:
        return  # another start did it while this one waited for the lock
    if os.path.lexists(VENV) and not os.path.isdir(VENV):
        stop("%s is not a folder: move it away, it is where the packages go." % VENV)
    wanted = dict(wanted, extra=stamp.get("extra") or wanted["extra"])
    # Where only the test packages are missing, nothing is cleared: a server running
    # in .venv goes on, and without a network it stays as good as it was.
    only_adds = changed == {"extra"}
    try:
        if stamp:
            os.remove(os.path.join(VENV, STAMP))
        if not only_adds and not is_inside():  # nobody can clear what they stand on
            make_venv()
        try:
            install(wanted["extra"], moved="root" in changed or "python" in changed)
        except SystemExit:
            if only_adds:
                write_stamp(stamp)
            raise
        write_stamp(wanted)
    except OSError as error:
        stop("cannot write %s: %s." % (error.filename, error.strerror))
    say(".venv is ready")


def write_stamp(stamp):
    with open(os.path.join(VENV, STAMP), "w") as file:
        json.dump(stamp, file, indent=1)


def make_venv():
    say("making .venv with %s (%s)" % (PYTHON, sys.executable))
    # Debian's Python comes without ensurepip; then another pip has to do (find_pip).
    for options in (["--clear"], ["--clear", "--without-pip"]):
        code, output = quietly([sys.executable, "-m", "venv"] + options + [VENV])
        if code == 0:
            return
    stop("%s could not make .venv: see the lines above." % PYTHON, output=output)


def find_pip():
    """.venv's own pip, or one outside that is new enough (22.3) to install into it."""
    inner = os.path.join(VENV, VENV_PYTHON)
    outer = (sys.executable, getattr(sys, "_base_executable", None) or sys.executable)
    for python, options in [(inner, [])] + [(path, ["--python", inner]) for path in outer]:
        command = [python, "-m", "pip"] + options
        if quietly(command + ["--version"])[0] == 0:
            return command
    return stop(
        "%s has no pip: install it (on Debian or Ubuntu, 'apt install python3-pip')." % outer[1]
    )


def install(extra, moved):
    pip = find_pip()
    say("installing the pinned packages into .venv; the first time takes a minute or two")
    options = ["--no-input", "--no-user", "--disable-pip-version-check"]
    if moved:
        options.append("--force-reinstall")  # scripts in a moved .venv name its old place
    # The constraints on the command line and relative, since blanks in paths break
    # pip's own variable; editable, since MkDocs finds the plugin by its entry point.
    what = ["-c", INPUTS[1], "-e", ".[%s]" % extra if extra else "."]
    code, output = quietly(pip + ["install"] + options + what)
    if code != 0 and "(from versions: none)" in output:  # it never got to a list of versions
        stop("pip reached no packages: is there a network? Then start it again.", output=output)
    if code != 0:
        stop("the packages could not be installed: see pip's lines above.", output=output)


def quietly(command):
    """Run a command in the root folder; its exit code and what it said."""
    try:
        done = subprocess.run(
            command, cwd=ROOT, env=clean_environment(os.environ),
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )
    except OSError as error:
        return 127, str(error)
    return done.returncode, done.stdout.decode("utf-8", "replace")


def clean_environment(variables):
    """The variables without those through which another environment reaches in."""
    kept = {name for name in variables if not name.startswith("PIP_")}.difference(DROPPED_VARIABLES)
    kept.update("PIP_" + name for name in KEPT_PIP_VARIABLES)
    return {name: variables[name] for name in variables if name in kept}


# Going on inside it


def hand_over(argv):
    command = [os.path.join(VENV, VENV_PYTHON), "-m", "builder"] + argv
    environment = clean_environment(os.environ)
    if os.name != "nt":
        os.execve(command[0], command, environment)
    # Windows has no exec: wait, and leave Ctrl-C to the child.
    child = subprocess.Popen(command, env=environment)
    while True:
        try:
            return child.wait()
        except KeyboardInterrupt:
            pass


def run(argv):
    importlib.invalidate_caches()  # packages may have come while this process ran
    from builder.cli import main

    return main(argv)


if __name__ == "__main__":
    try:
        sys.exit(start(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
