"""Pages → a folder of Markdown and assets, for any other site engine."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from builder.files import carried, whole_files
from builder.files.problems import Problem, Wrong
from builder.pages import home, left_out, render, settings, written
from builder.shop import loading, public

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
    if any(parent in (written_by_hand, procedures, carried.CODE)
           for parent in (target.resolve(), *target.resolve().parents)):
        raise Wrong(f"{target} lies among the sources: name a folder elsewhere")
    own = settings.read(root / "mkdocs.yml")
    shop = loading.load_shop(procedures)
    pages = written.read(written_by_hand, shop, own.out)
    shop.problems += pages.problems
    if shop.stopping:
        return "", shop.problems
    words = pages.beside.get("glossary.md", written_by_hand / "glossary.md")
    site = render.render(public.shown(shop, own.publish), own.address,
                         words.read_text(encoding="utf-8-sig") if words.exists() else "")
    made = {**site.pages, **site.files, **pages.taught}
    first = written_by_hand / home.PAGE
    if first.exists():
        pages.taught[home.PAGE] = made[home.PAGE] = home.filled(
            first.read_text(encoding="utf-8-sig"), site.today)
    with whole_files.new_folder(target) as folder:
        for name, path in {**pages.beside, **_below(written_by_hand)}.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, folder / name)
        for name, text in made.items():
            path = folder / name
            if left_out.is_out(name, own.out) or (
                    path.exists() and name not in pages.taught):
                continue  # a page written by hand takes the place of a generated one
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text if isinstance(text, bytes) else text.encode())
        for path in folder.rglob("*.md") if own.out else ():
            name = path.relative_to(folder).as_posix()
            path.write_text(left_out.without_links(path.read_text(encoding="utf-8"), name, own.out),
                            encoding="utf-8")
    return (f"{len(site.pages)} generated pages and those of site_src are in {target}.\n{SETTINGS}",
            shop.problems)


def _below(folder: Path) -> dict[str, Path]:
    """Every file in a folder, by its path there."""
    return {Path(inside, name).relative_to(folder).as_posix(): Path(inside, name)
            for inside, _, names in os.walk(folder, followlinks=True) for name in names}
