"""The site engine as a program of its own: a site built whole, and served while it is edited."""

from __future__ import annotations

import ipaddress
import os
import re
import shutil
import socket
import subprocess
import sys
import webbrowser
from collections.abc import Callable
from datetime import date
from html import escape
from pathlib import Path
from typing import IO
from urllib.parse import urlsplit
from urllib.request import ProxyHandler, build_opener

from builder.files import one_at_a_time
from builder.files.problems import Wrong
from builder.pages import settings, site_changes
from builder.pages.offline import WORKER

PORTS = range(8000, 8020)
# The variable by which a build tells the engine's own process its day.
AS_OF = "METERSHEETS_AS_OF"
# What a build leaves beside site/ while it is at work, and where something could not be deleted.
SITE, LOCK, NEW, OLD = "site", ".site.lock", ".site-new", ".site-old"
# What is put around the site while it is served: takes the application that serves it and the path
# below which it does, and gives another one. The desk puts itself here, in a process of its own.
DESK = "builder.desk"
around: Callable[[Callable, str], Callable] | None = None


def build(root: Path, say: Callable[[str], None], as_of: date | None = None) -> int:
    """Builds the project in `root` into its site/, one build at a time; the exit code. The last
    site stays until the new one is whole. `as_of` is the day that its states are for, if not the
    one of the workshop's file. OSError where the folder can't be written."""
    with one_at_a_time.alone(
            root / LOCK,
            busy=lambda: say("Another build is at work in this folder: this one waits for it."),
            never=lambda: say("This folder can't be locked: start no second build beside this one.")
    ) as held:
        _put_back(root)
        last = site_changes.read(root / SITE)
        code, is_new = _build(root, held, say, as_of)
    if is_new:
        for line in site_changes.said(site_changes.read(root / SITE), last):
            say(line)
        say("The site is in site/: open site/index.html." if code == 0 else
            "The site is in site/, with the mistakes that are told above.")
    else:
        say("No new site was built; the last one stays in site/." if (root / SITE).exists()
            else "No site was built.")
    return code


def _build(root: Path, held: IO, say: Callable[[str], None],
           as_of: date | None) -> tuple[int, bool]:
    """The exit code, and whether there is a new site. Mistakes in files, and links that lead
    nowhere, give a site as well."""
    site, new = root / SITE, _free(root, NEW)
    if os.path.lexists(site) and (site.is_symlink() or not site.is_dir()):
        say("'site' is a link or a file, and a build puts a folder in its place: move it away.")
        return 1, False
    try:
        code = _mkdocs(root, "build", "--strict", "--config-file", str(root / "mkdocs.yml"),
                       "--site-dir", str(new), keeps=held, as_of=as_of)
        if not (new / WORKER).exists():     # the last file of a site
            return code or 1, False
        is_new = _take_place(root, new, say)
        return code if is_new else 1, is_new
    finally:
        for left in _left_behind(root):
            say(f"{left.name} can't be deleted: delete it by hand.")


def _take_place(root: Path, new: Path, say: Callable[[str], None]) -> bool:
    """Puts a whole new site in the place of the last one, which stands there until then, whatever
    ends the build."""
    try:
        if (root / SITE).exists():
            (root / SITE).rename(_free(root, OLD))
        new.rename(root / SITE)
    except OSError as error:
        say(f"The new site can't take the place of site/: {error.strerror}.")
        return False
    return True


def _put_back(root: Path) -> None:
    """The last site where a build was ended between putting it away and putting up the new one."""
    olds = _numbered(root, OLD)
    if olds and not os.path.lexists(root / SITE):
        olds[-1][1].rename(root / SITE)


def _left_behind(root: Path) -> list[Path]:
    """Deletes what isn't needed any more; gives what can't be deleted."""
    _put_back(root)
    for name in (NEW, OLD):
        _free(root, name)
    return [path for name in (NEW, OLD) for _, path in _numbered(root, name)]


def _free(root: Path, name: str) -> Path:
    """A name that no folder has: the plain one, unless what stands there can't be deleted."""
    for _, path in _numbered(root, name):
        shutil.rmtree(path, ignore_errors=True)
    taken = _numbered(root, name)
    return root / (f"{name}-{taken[-1][0] + 1}" if taken else name)


def _numbered(root: Path, name: str) -> list[tuple[int, Path]]:
    """The folders of that name and a number, the latest last."""
    named = [(re.fullmatch(re.escape(name) + r"(?:-(\d+))?", path.name), path)
             for path in root.iterdir()]
    return sorted((int(match[1] or 1), path) for match, path in named if match)


def address(root: Path) -> tuple[str, bool]:
    """Where the project's site is to be served on this machine, and whether it is already. Raises
    `Wrong` where no port is free."""
    own = settings.read(root / "mkdocs.yml")
    below = urlsplit(own.address).path or "/"
    if own.served_at:
        where = f"http://{own.served_at}{below}"
        if _is_free(own.served_at):
            return where, False
        if _is_ours(where, own.name):
            return where, True
        raise Wrong(f"the port of this site, {own.served_at}, is taken by another program",
                    "end that one, or write another port in mkdocs.yml, 'dev_addr'; a browser then "
                    "no longer finds the readings that it kept for this one")
    for port in PORTS:
        if _is_free(f"127.0.0.1:{port}"):
            return f"http://127.0.0.1:{port}{below}", False
    raise Wrong(f"no port from {PORTS[0]} to {PORTS[-1]} is free on this machine",
                "stop another server first")


def _is_free(where: str) -> bool:
    host, _, port = where.rpartition(":")
    if not host or not port.isdigit():
        raise Wrong(f"'dev_addr: {where}' in mkdocs.yml is no host and port",
                    "such as '127.0.0.1:8123'")
    with socket.socket() as listener:
        if hasattr(socket, "SO_REUSEADDR") and os.name != "nt":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, int(port)))
        except OSError:
            return False
    return True


def _is_ours(where: str, name: str) -> bool:
    """Whether what is served there is a site of that name that the builder made."""
    here = build_opener(ProxyHandler({}))   # this machine is asked itself
    try:
        first, data = (here.open(where + page, timeout=5).read().decode("utf-8", "replace")
                       for page in ("", site_changes.DATA))
    except (OSError, ValueError):
        return False
    return escape(name, quote=False) in first and '"procedures"' in data


def show(where: str) -> None:
    """Opens an address in the browser of whoever sits here."""
    webbrowser.open(where)


def serve(root: Path, where: str, opened: bool) -> int:
    """Serves the project's site at its `address` until it is ended, and opens it in the browser
    once it is there; the engine's exit code, where this process comes back."""
    module = DESK if has_desk(where) else "mkdocs"
    arguments = ["serve", "--config-file", str(root / "mkdocs.yml"), "--dev-addr",
                 urlsplit(where).netloc, *(["--open"] if opened else [])]
    if os.name == "nt":
        return subprocess.call(_command(*arguments, module=module), cwd=root, env=_variables())
    os.chdir(root)  # in the place of this process, so that whatever ends it ends the server
    os.execve(sys.executable, _command(*arguments, module=module), _variables())


def surrounded(site: Callable, mount: str) -> Callable:
    """An application that serves the site, with the desk around it where there is one."""
    return around(site, mount) if around else site


def has_desk(where: str) -> bool:
    """Whether the desk is served with a site: only where none but this machine can ask for it."""
    return is_of_this_machine(urlsplit(where).netloc)


def is_of_this_machine(host: str) -> bool:
    """Whether a host, with a port or without, is this machine by one of its own names. A name from
    elsewhere that leads here is none."""
    name = re.sub(r":\d{1,5}$", "", host).strip("[]").lower()
    try:
        return name == "localhost" or ipaddress.ip_address(name).is_loopback
    except ValueError:
        return False


def desk(where: str) -> str:
    """Where the desk is that is served with a site."""
    return f"{where.rstrip('/')}/desk/"


def _mkdocs(root: Path, *arguments: str, keeps: IO | None = None,
            as_of: date | None = None) -> int:
    """The engine's exit code. It holds on to the lock in the file that it `keeps`, so that nothing
    builds beside it even where this process was killed."""
    kept = [keeps.fileno()] if keeps and os.name != "nt" else []
    return subprocess.call(_command(*arguments), cwd=root, env=_variables(as_of), pass_fds=kept)


def _command(*arguments: str, module: str = "mkdocs") -> list[str]:
    return [sys.executable, "-m", module, *arguments]


def day_asked(serving: bool) -> date | None:
    """In the engine's own process the day that a site is for: while serving today, else the one
    that the build was called with."""
    asked = os.environ.get(AS_OF)
    return date.today() if serving else date.fromisoformat(asked) if asked else None


def _variables(as_of: date | None = None) -> dict[str, str]:
    return {**os.environ, "NO_MKDOCS_2_WARNING": "1", AS_OF: as_of.isoformat() if as_of else ""}
