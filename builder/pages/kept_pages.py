"""Generated pages on their way through the site engine: what it makes of one before its template,
Markdown to HTML and the entries of the search, is kept by what it was made from, so that a build
asks it only for what an edit changed. Knows the engine by what it is handed."""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Callable, Collection
from functools import partial
from typing import Any

from builder.files.cache import Cache
from builder.files.kept_texts import KeptTexts
from builder.pages import raw_blocks
from builder.pages.locked import locked

_LINK = re.compile(r"\]\(([^)#\s]+)")


def convert(page: Any, config: Any, files: Any, *, texts: KeptTexts,
            toc_of: Callable[[list], Any]) -> None:
    """In the place of `page.render`, for a page whose links lead into the site: one that leads
    nowhere is the engine's to tell. `toc_of` makes a table of contents of plain data."""
    render = partial(type(page).render, page, config, files)
    inside = {posixpath.normpath(posixpath.join(posixpath.dirname(page.file.src_uri), to))
              for to in _LINK.findall(page.markdown) if ":" not in to}
    if any(files.get_file_from_path(to) is None for to in inside):
        return render()
    place = texts.place("page", page.file.src_uri, page.markdown, _settings(config))
    kept = texts.read(place)
    if kept is None:
        render()
        return texts.write(place, {
            "content": page.content, "toc": list(map(_entry, page.toc)),
            "title": page._title_from_render, "anchors": sorted(page.present_anchor_ids),
            "links": {to.src_uri: links for to, links in (page.links_to_anchors or {}).items()}})
    page.content, page.toc = kept["content"], toc_of(kept["toc"])
    page._title_from_render, page.present_anchor_ids = kept["title"], set(kept["anchors"])
    page.links_to_anchors = {files.get_file_from_path(to): links
                             for to, links in kept["links"].items()}


def _settings(config: Any) -> str:
    """All that the conversion depends on besides the page."""
    return json.dumps([config["use_directory_urls"], config["markdown_extensions"],
                       config["mdx_configs"]], default=_named, sort_keys=True)


def _named(setting: Any) -> str:
    """A function that a setting names, by its name."""
    return f"{getattr(setting, '__module__', '')}.{getattr(setting, '__qualname__', setting)}"


def _entry(link: Any) -> dict[str, Any]:
    return {"name": link.title, "id": link.id, "level": link.level,
            "children": list(map(_entry, link.children))}


def whole(output: str, page: Any) -> str:
    """The HTML of a generated page as it is served, from what the template made of it."""
    source = page.file.content_string
    own = output.replace(page.content, "", 1) + raw_blocks.first_style(source)
    return locked(raw_blocks.put_back(output, source), own=own)


def keep_index(search: Any, generated: Collection[str], kept: Cache) -> None:
    """Has the theme's search keep its entries of generated pages; `search` is its plugin, None
    where it is another."""
    index = getattr(search, "search_index", None)
    if not isinstance(getattr(index, "entries", None), list):
        return
    add = index.add_entry_from_context

    def made(page: Any) -> list[Any]:
        first = len(index.entries)
        add(page)
        own = index.entries[first:]
        del index.entries[first:]
        return own

    def add_kept(page: Any) -> None:
        if page.file.src_uri not in generated:
            return add(page)
        inputs = (page.url, page.content, str(page.title), json.dumps(page.meta, default=str))
        index.entries += kept.texts.get("search", inputs, partial(made, page))

    index.add_entry_from_context = add_kept
