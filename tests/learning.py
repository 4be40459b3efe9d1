"""What there is to learn, whose examples need the demo's files. Imports next to nothing, since the
benchmark's memory would show it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path


def without_learning(root: Path, settings: str) -> str:
    """Takes the pages to learn from out of a project, with all links to them, since their examples
    need the demo's files; returns its settings without them."""
    section = re.search(r"^  - Learn:\n((?:      - .*\n)+)", settings, re.M)
    pages = re.findall(r"(\S+\.md)", section[1])
    for page in pages:
        path = root / "site_src" / page
        shutil.rmtree(path.parent) if "/" in page else path.unlink(missing_ok=True)
    links = "|".join(re.escape(page.rpartition("/")[0] + "/" if "/" in page else page)
                     for page in pages)
    for path in (root / "site_src").glob("*.md"):
        text = re.sub(rf"^- \[.*\]\((?:{links})[^)]*\).*\n", "", path.read_text(encoding="utf-8"),
                      flags=re.M)
        path.write_text(re.sub(rf"\[([^\]]*)\]\((?:{links})[^)]*\)", r"\1", text), encoding="utf-8")
    return settings.replace(section[0], "")
