"""What the theme makes of a generated page, kept by all that its template is handed: the page, the
menu around it, the settings and the theme's own files. Knows the engine by what it is handed."""

from __future__ import annotations

import json
from collections.abc import Collection
from pathlib import Path
from typing import Any

from builder.files.kept_texts import KeptTexts, digest

# Those of which it is known what they hand to a template; another one could hand it anything.
_PLUGINS = {"material/search", "procedures"}
# Where a site stands, and what no template shows.
_ELSEWHERE = {"config_file_path", "docs_dir", "site_dir", "dev_addr", "watch", "plugins", "hooks",
              "theme", "not_in_nav", "exclude_docs", "draft_docs", "strict", "validation"}
_THEME = "material"     # whose version every key holds, as that of the engine (`kept_texts`)


def around(env: Any, config: Any, generated: Collection[str], texts: KeptTexts) -> Any:
    """The engine's templates, which keep what they make of `generated` pages; as they are where
    somebody else has a hand in them."""
    told = settings(config)
    return env if told is None else KeptTemplates(env, told, generated, texts)


class KeptTemplates:
    """The engine's templates, as those of a page are asked for. `settings` are a text of all that
    they depend on besides the page and the menu."""

    def __init__(self, env: Any, settings: str, generated: Collection[str],
                 texts: KeptTexts) -> None:
        self._env, self.settings = env, settings
        self.generated, self.texts = generated, texts
        self._menu: tuple[Any, str] = (None, "")

    def get_template(self, name: str) -> Any:
        return _KeptTemplate(self, name, self._env.get_template(name))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._env, name)

    def menu(self, nav: Any) -> str:
        """All that a menu shows; the pages of it have been read when the first is asked for."""
        if self._menu[0] is not nav:
            self._menu = nav, digest(repr([_item(one) for one in nav]), nav.homepage.url
                                     if nav.homepage else "")
        return self._menu[1]


class _KeptTemplate:

    def __init__(self, env: KeptTemplates, name: str, template: Any) -> None:
        self._env, self._name, self._template = env, name, template

    def render(self, context: Any) -> str:
        page, texts = context.get("page"), self._env.texts
        if page is None or page.file.src_uri not in self._env.generated:
            return self._template.render(context)
        around = [one and (one.title, one.url) for one in (page.previous_page, page.next_page)]
        place = texts.place(
            "template", self._name, self._env.settings, self._env.menu(context["nav"]),
            page.url, page.content, repr(around), repr(list(map(_item, page.toc.items))),
            repr([page.title, page.canonical_url, page.edit_url, page.is_homepage,
                  [one.title for one in page.ancestors]]),
            json.dumps(page.meta, default=repr))
        output = texts.read(place)
        if output is None:
            output = self._template.render(context)
            texts.write(place, output)
        return output


def _item(entry: Any) -> Any:
    """An entry of a menu or of a page's own contents."""
    return (entry.title, getattr(entry, "url", None), getattr(entry, "id", None),
            json.dumps(getattr(entry, "meta", None), default=repr),
            list(map(_item, entry.children or ())))


def settings(config: Any) -> str | None:
    """What templates depend on for a whole build; None where somebody else has a hand in it."""
    theme = config["theme"]
    if config["hooks"] or theme.name != _THEME or not set(config["plugins"]) <= _PLUGINS:
        return None
    told = [{name: value for name, value in config.items()
                                 if name not in _ELSEWHERE},
            {name: dict(plugin.config) for name, plugin in config["plugins"].items()},
            {name: theme[name] for name in theme}]
    text = json.dumps(told, default=str, sort_keys=True)
    own = [path for path in sorted(Path(theme.custom_dir).rglob("*"))
           if path.is_file()] if theme.custom_dir else []
    return None if " object at 0x" in text else digest(
        text, *(part for path in own for part in (str(path), path.read_bytes())))
