"""A new workshop's folder: its settings, its own first page, empty folders for its files, and what
starts it by a double click. Everything else comes with the builder."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from importlib import metadata
from pathlib import Path
from urllib.parse import unquote, urlsplit
from urllib.request import url2pathname

from builder.files import carried, whole_files
from builder.files.problems import Wrong
from builder.formats import schemas

DISTRIBUTION = "verification-procedures"
FOLDERS = ("meters", "standards", "plans", "records")
START = Path(__file__).parent / "start"
REQUIREMENTS = "requirements.txt"
_WORKSHOP = """\
# yaml-language-server: $schema=.schema/workshop.schema.json
# Who writes the reports.
name: {name}
address: [{address}]
"""
_REQUIREMENTS = """\
# The tool at one version. To update: change this line, start again, and run 'check'.
{requirement}
"""


def write(target: Path, name: str, address: str) -> None:
    """Writes the folder of the workshop with that name, which must be free or empty. Raises `Wrong`
    where it isn't."""
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise Wrong(f"{target} is not an empty folder: name one that is empty or doesn't exist yet")
    if "\n" in name + address or not name or not address:
        raise Wrong("a workshop has a name and an address, each on one line")
    with whole_files.new_folder(target) as folder:
        (folder / carried.SETTINGS).write_text(settings(name, target.name), encoding="utf-8")
        (folder / carried.SOURCE).mkdir()
        (folder / carried.SOURCE / "index.md").write_text(first_page(name), encoding="utf-8")
        procedures = folder / carried.PROCEDURES
        for kind in FOLDERS:
            (procedures / kind).mkdir(parents=True)
            (procedures / kind / ".gitkeep").touch()
        (procedures / "workshop.yaml").write_text(
            _WORKSHOP.format(name=_quoted(name), address=_quoted(address)), encoding="utf-8")
        schemas.write(procedures)
        _starters(folder)
        requirement = _requirement(folder)
        (folder / REQUIREMENTS).write_text(_REQUIREMENTS.format(requirement=requirement),
                                           encoding="utf-8")


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def settings(name: str, folder: str) -> str:
    """mkdocs.yml: the demo's with this workshop's name, and without an address until it has one.
    The port follows from the folder's name: it stays the same from one start to the next, since a
    browser keeps what was typed by it."""
    text = carried.path(carried.SETTINGS).read_text(encoding="utf-8")
    port = 8100 + int(hashlib.sha256(folder.encode("utf-8", "replace")).hexdigest(), 16) % 800
    for line, new in (
            (r"site_name: .*", f"site_name: {_quoted(name)}"),
            (r"site_description: .*", "site_description: Verification sheets with the acceptance "
             "limits worked out."),
            (r"site_url: .*", "# site_url: https://sheets.example/\n"
             "# Where it is shown on this machine; leave it as it is, since a browser keeps its "
             f"readings by it.\ndev_addr: 127.0.0.1:{port}")):
        text, found = re.subn(rf"^{line}$", lambda _, new=new: new, text, flags=re.M)
        assert found == 1, line
    return text


def first_page(name: str) -> str:
    """The first page of the demo with this workshop's name, without what is said of the demo."""
    demo = carried.path(carried.SOURCE).joinpath("index.md").read_text(encoding="utf-8")
    blocks = [block for block in demo.split("\n\n") if " invented" not in block]
    return re.sub(r"^# .*$", lambda _: f"# {name}", "\n\n".join(blocks), count=1, flags=re.M)


def _starters(folder: Path) -> None:
    """The files that a double click starts, one for each system, and what all of them call."""
    for name in ("start.py", "start.sh"):
        shutil.copyfile(START / name, folder / name)
    shutil.copyfile(START / "start.sh", folder / "start.command")
    shutil.copyfile(START / "gitignore", folder / ".gitignore")
    text = (START / "start.bat").read_text(encoding="ascii")
    (folder / "start.bat").write_bytes(text.replace("\n", "\r\n").encode())
    for name in ("start.sh", "start.command"):
        (folder / name).chmod(0o755)


def _requirement(folder: Path) -> str:
    """What pip installs to get this very version: the wheel that this copy came from, which is put
    beside; or else where it came from."""
    try:
        came_from = json.loads(metadata.distribution(DISTRIBUTION).read_text("direct_url.json")
                               or "{}")
        version = metadata.version(DISTRIBUTION)
    except metadata.PackageNotFoundError:    # a clone's code without an environment
        return f"{DISTRIBUTION} @ {carried.CODE.parent.as_uri()}"
    url = came_from.get("url", "")
    if not url:
        return f"{DISTRIBUTION}=={version}"
    wheel = Path(url2pathname(urlsplit(url).path))
    if url.startswith("file:") and wheel.is_file():
        shutil.copyfile(wheel, folder / unquote(wheel.name))
        return f"./{unquote(wheel.name)}"
    of_repository = came_from.get("vcs_info")
    if of_repository:
        return f"{DISTRIBUTION} @ {of_repository['vcs']}+{url}@{of_repository['commit_id']}"
    return f"{DISTRIBUTION} @ {url}"
