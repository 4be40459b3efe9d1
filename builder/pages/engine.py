"""The site engine as a program of its own: a site built whole, and served while it is edited."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

from builder.pages.export import site_address

PORTS = range(8000, 8020)


def build(root: Path) -> int:
    """Builds the project in `root` into its site/; the engine's exit code. Where it isn't 0, the
    last site stays as it was."""
    site, new, old = (root / name for name in ("site", ".site-new", ".site-old"))
    if old.exists() and not site.exists():  # a build that was ended between the two
        old.rename(site)
    code = _mkdocs(root, "build", "--strict", "--config-file", str(root / "mkdocs.yml"),
                   "--site-dir", str(new))
    if code == 0:
        _take_place(new, site, old)
    shutil.rmtree(new, ignore_errors=True)
    return code


def _take_place(new: Path, site: Path, old: Path) -> None:
    """Puts a whole new site in the place of the last one, which stands there until then, whatever
    ends the build."""
    shutil.rmtree(old, ignore_errors=True)
    if site.exists():
        site.rename(old)
    new.rename(site)
    shutil.rmtree(old, ignore_errors=True)


def free_address(root: Path) -> str:
    """Where the project's site can be served on this machine; "" where no port is free."""
    for port in PORTS:
        with socket.socket() as listener:
            if hasattr(socket, "SO_REUSEADDR") and os.name != "nt":
                listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                listener.bind(("127.0.0.1", port))
            except OSError:
                continue
            below = urlsplit(site_address(root / "mkdocs.yml")).path or "/"
            return f"http://127.0.0.1:{port}{below}"
    return ""


def serve(root: Path, address: str) -> int:
    """Serves the project's site at an address of `free_address` until it is ended; the engine's
    exit code, where this process comes back."""
    arguments = ["serve", "--config-file", str(root / "mkdocs.yml"), "--dev-addr",
                 urlsplit(address).netloc]
    if os.name == "nt":
        return _mkdocs(root, *arguments)
    os.chdir(root)  # in the place of this process, so that whatever ends it ends the server
    os.execve(sys.executable, _command(*arguments), _variables())


def _mkdocs(root: Path, *arguments: str) -> int:
    return subprocess.call(_command(*arguments), cwd=root, env=_variables())


def _command(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "mkdocs", *arguments]


def _variables() -> dict[str, str]:
    return {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
