"""Pages → a folder of Markdown and assets, for any other site engine."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

from builder.files import whole_files
from builder.files.problems import Problem, Wrong
from builder.lessons import tags
from builder.pages import render
from builder.shop import loading

SETTINGS = """Settings that the pages need, whatever engine renders them:
  pages keep the ending .html in their addresses (use_directory_urls: false)
  the style sheet is assets/bench.css (extra_css: [assets/bench.css])
  Markdown extensions attr_list, def_list, md_in_html, tables and toc"""


def export(target: Path, root: Path, procedures: Path) -> tuple[str, list[Problem]]:
    """Writes the generated pages and those of `site_src` into a new or empty folder. Gives what to
    say about them, which is "" where problems leave nothing written, and the problems. Raises
    `Wrong` for a folder that can't take them."""
    written_by_hand = root / "site_src"
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise Wrong(f"{target} is not an empty folder: name one that is empty or doesn't exist yet")
    if any(parent in (written_by_hand, procedures, root / "builder")
           for parent in (target.resolve(), *target.resolve().parents)):
        raise Wrong(f"{target} lies among the sources: name a folder elsewhere")
    shop = loading.load_shop(procedures)
    taught, wrong = tags.read(written_by_hand, procedures, shop)
    shop.problems += wrong
    if shop.stopping:
        return "", shop.problems
    words = written_by_hand / "glossary.md"
    site = render.render(shop, site_address(root / "mkdocs.yml"),
                         words.read_text(encoding="utf-8-sig") if words.exists() else "")
    with whole_files.new_folder(target) as folder:
        for inside, _, names in os.walk(written_by_hand, followlinks=True):
            beside = folder / Path(inside).relative_to(written_by_hand)
            beside.mkdir(exist_ok=True)
            for name in names:
                shutil.copyfile(Path(inside, name), beside / name)
        for name, text in {**site.pages, **site.files, **taught}.items():
            path = folder / name
            if path.exists() and name not in taught:
                continue  # a page written by hand takes the place of a generated one
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return (f"{len(site.pages)} generated pages and those of site_src are in {target}.\n{SETTINGS}",
            shop.problems)


def site_address(config: Path) -> str:
    """`site_url` as the file has it; read as text, since another engine's settings aren't ours to
    parse."""
    match = re.search(r"^site_url:\s*['\"]?(https?://[^\s'\"#]+)",
                      config.read_text(encoding="utf-8"), re.M)
    return match[1] if match else ""
