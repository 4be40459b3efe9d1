"""The site without a network: the text of the worker that keeps it, from the site's files. Knows no
site engine.

The same files give the same text, and a changed file changes it, which is what tells browsers of a
new version. """

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

from builder.files import whole_files
from builder.pages import page_text
from builder.pages.page_text import HERE, lean

SCRIPT, WORKER, MANIFEST = "assets/offline.js", "sw.js", "manifest.webmanifest"
ICON = "assets/icon.png"
_WORKER_FILES = (WORKER, "sw_nowhere.js", "sw_share.js")

# For developers, for hosts and for robots; and the stemmers of the search's other languages, of
# which most sites use none.
_LEFT_OUT = re.compile(
    r"(^|/)[._]|\.map$|^(sw\.js|sitemap\.xml(\.gz)?|robots\.txt|CNAME)$")
_STEMMERS = "assets/javascripts/lunr/"
# a page needs its style first, and pictures last
_ORDER = {".css": 0, ".js": 0, ".html": 1, ".json": 2}


def script(serving: bool) -> str:
    """What each page includes. While serving, it takes away what an earlier site kept, so that no
    page is stale."""
    return ("(window.Bench = window.Bench || {}).serving = true;\n" if serving
            else "") + lean("offline.js")


def manifest(name: str) -> str:
    """What a phone needs to install the site (W3C Web Application Manifest); `name` is the site's.
    An installed one takes in records from the system's share sheet."""
    taken = {"name": "records", "accept": ["application/json", ".json", "text/plain", ".txt"]}
    return page_text.as_json({
        "name": name, "short_name": name[:12].strip(), "start_url": "index.html", "scope": "./",
        "display": "standalone", "background_color": "#fdfdfb", "theme_color": "#fdfdfb",
        "icons": [{"src": ICON, "sizes": "512x512", "type": "image/png"}],
        "share_target": {"action": "in-progress.html", "method": "POST",
                         "enctype": "multipart/form-data", "params": {"files": [taken]}}})


def own(name: str, serving: bool) -> dict[str, str | bytes]:
    """The files for places without a network, and by which a phone installs the site, by path."""
    return {SCRIPT: script(serving), MANIFEST: manifest(name), ICON: (HERE / ICON).read_bytes()}


def files(site: Path) -> dict[str, bytes]:
    """What is kept, by path, in the order in which it is fetched."""
    paths = [path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()]
    left_out = {path for path in paths
                if _LEFT_OUT.search(path) or path.startswith(_STEMMERS)} - _stemmers(site)
    return {path: (site / path).read_bytes()
            for path in sorted(set(paths) - left_out,
                               key=lambda path: (_ORDER.get(Path(path).suffix, 3), path))}


def _stemmers(site: Path) -> set[str]:
    """What the search loads for the languages that it is set to; nothing for English alone."""
    index = site / "search/search_index.json"
    languages = (json.loads(index.read_text(encoding="utf-8")).get("config", {}).get("lang", [])
                 if index.is_file() else [])
    if not set(languages) - {"en"}:
        return set()
    names = {f"min/lunr.{one}.min.js" for one in [*languages, "stemmer.support", "multi"]}
    names |= {{"ja": "tinyseg.js", "th": "wordcut.js", "hi": "wordcut.js"}.get(one, "")
              for one in languages}
    return {_STEMMERS + name for name in names}


def worker(site: Path) -> str:
    """The worker's text for the files of a built site."""
    kept_files = files(site)
    listed = json.dumps({path: hashlib.sha256(content).hexdigest()[:12]
                         for path, content in kept_files.items()}, ensure_ascii=False, indent=0)
    template = "".join((HERE / "assets" / name).read_text(encoding="utf-8")
                       for name in _WORKER_FILES)
    parts = {"summary": f"{len(kept_files)} files, {sum(map(len, kept_files.values()))} bytes",
             "list": listed,
             "version": hashlib.sha256((template + listed).encode()).hexdigest()[:12]}
    return re.sub(r"\{\{(\w+)\}\}", lambda match: parts[match[1]], template)


def write(site: Path) -> None:
    """Writes the worker: the last file of a built site."""
    whole_files.replace(site / WORKER, worker(site))
