"""Pages → MkDocs. The only importer of mkdocs; everything it adds is rendered elsewhere.

Generated pages stay out of `nav`: with an entry each, every page would carry the whole menu and the
build would grow with the square of the pages. """

from __future__ import annotations

import itertools
import os
import re
from copy import copy
from pathlib import Path

from mkdocs.config import config_options as option
from mkdocs.config.base import Config
from mkdocs.exceptions import Abort
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, InclusionLevel
from mkdocs.utils.yaml import yaml_load

from builder.files.cache import Cache
from builder.files.problems import as_text
from builder.lessons import tags
from builder.pages import engine, offline, render
from builder.shop import contents, loading

log = get_plugin_logger("procedures")

# Raw HTML that Markdown would only parse and print again: a table of 50 rows costs more than the
# rest of its page. The templates leave no blank line inside a block, and one after it.
_BLOCK = re.compile(r"^<(?:table|script|style|nav|div|figure|details)\b.*(?:\n.+)*", re.M)
# The theme's own script and its settings, which a sheet goes without: assets/header.js does what
# is left of its work there.
_THEME_SCRIPT = re.compile(r'<script id="__config".*?</script>\s*'
                           r'<script src="[^"]*/bundle\.[0-9a-f]+\.min\.js"></script>', re.S)


class ProceduresConfig(Config):
    folder = option.Choice(("procedures",), default="procedures")   # which every command reads


class ProceduresPlugin(BasePlugin[ProceduresConfig]):
    serving = False
    kept: Cache | None = None

    def on_startup(self, *, command, dirty):
        """Being here at all keeps this one instance for all rebuilds of `mkdocs serve`."""
        self.serving = command == "serve"

    def on_config(self, config):
        """Loads and computes. Here, since MkDocs empties the site's folder right after this event:
        a build that finds no folder to read leaves the last site."""
        # the same input gives the same bytes, whatever the day
        os.environ["SOURCE_DATE_EPOCH"] = "0"
        folder = Path(config.config_file_path).parent / self.config.folder
        with open(config.config_file_path, encoding="utf-8") as file:
            self.address = yaml_load(file).get("site_url") or ""    # config has that of 'serve'
        if not self.address:
            log.info("No site_url in mkdocs.yml: the sheets carry no code to scan.")
        config.watch += [str(one) for one in (folder, folder.parent / tags.EXAMPLES)
                         if one == folder or one.is_dir()]
        config.extra_javascript.append(offline.SCRIPT)
        if self.serving and self.kept is None:
            self.kept = Cache()
        self.shop = loading.load_shop(folder, kept=self.kept, as_of=engine.day_asked(self.serving))
        self.lessons, problems = tags.read(Path(config.docs_dir), folder, self.shop)
        self.shop.problems += problems
        if self.shop.stopping and not self.serving:
            raise Abort("\n" + as_text(self.shop.problems) + "\n")
        self.told = as_text(self.shop.problems)
        self.wrong = bool(self.shop.errors)
        if self.told and (self.serving or not self.wrong):  # else they are the build's last words
            log.info("\n%s\n", self.told)
        for line in contents.summary(self.shop):
            log.info(line)
        return config

    def on_files(self, files, *, config):
        """Adds the generated pages."""
        site = render.render(self.shop, self.address, glossary=self._glossary(files),
                             kept=self.kept, excerpts=self.serving)
        pages = set(site.pages)
        self.generated: set[str] = set()
        texts = {**site.pages, **site.files, offline.SCRIPT: offline.script(self.serving)}
        del site
        for uri in list(texts):
            text = texts.pop(uri)
            if (written := files.get_file_from_path(uri)) is not None:
                log.info("%s is written by hand; the generated page is left out.", written.src_uri)
                continue
            # As bytes: a text with one sign beyond Latin takes two bytes a letter, and MkDocs holds
            # all pages at once.
            content = text if isinstance(text, bytes) else text.encode()
            files.append(File.generated(config, uri, content=content,
                                        inclusion=InclusionLevel.NOT_IN_NAV))
            self.generated.update({uri} & pages)
        for uri, text in self.lessons.items():
            files.get_file_from_path(uri).content_string = text
        self.shop = None  # what was computed isn't needed while the pages are built
        return files

    @staticmethod
    def _glossary(files) -> str:
        page = files.get_file_from_path("glossary.md")
        return page.content_string if page else ""

    def on_page_markdown(self, markdown, *, page, config, files):
        """Puts a placeholder for each raw block, so that Markdown and the search index don't parse
        it. Where files hold mistakes, the pages at the site's start say so."""
        if self.wrong and "/" not in page.file.src_uri and page.file.src_uri != "problems.md":
            markdown = ('<p class="fault"><a href="problems.html">Some files hold mistakes: see '
                        'Problems.</a></p>\n\n' + markdown)
        if page.file.src_uri not in self.generated:
            return markdown
        number = itertools.count()
        return _BLOCK.sub(lambda _: f"<!--block {next(number)}-->", markdown)

    def on_page_context(self, context, *, page, config, nav):
        """A sheet goes without the search, whose script and index are a seventh of what a phone
        fetches for its first one; every other page has it."""
        if page.file.src_uri in self.generated and page.file.src_uri.startswith("procedures/"):
            context["config"] = copy(config)
            context["config"]["plugins"] = {name: plugin for name, plugin in config.plugins.items()
                                            if name != "material/search"}
        return context

    @event_priority(-100)  # after every other plugin: what comes back is the page's final HTML
    def on_post_page(self, output, *, page, config):
        if page.file.src_uri not in self.generated:
            return output
        # Found once more in the page's source, rather than held for every page from its Markdown to
        # its HTML.
        blocks = _BLOCK.findall(page.file.content_string)
        if page.file.src_uri.startswith("procedures/"):
            output = _THEME_SCRIPT.sub("", output)
        return re.sub(r"<!--block (\d+)-->", lambda match: blocks[int(match[1])], output)

    @event_priority(-100)  # when every other plugin has written its files
    def on_post_build(self, *, config):
        if not self.serving:
            offline.write(Path(config.site_dir))
            if self.wrong:
                raise Abort(f"\n{self.told}\n\nWhat depends on these files is missing.\n")

    def on_build_error(self, *, error):
        """A full disk or a folder that can't be read, in a sentence."""
        if isinstance(error, OSError):
            where = error.filename2 or error.filename or "The build stopped"
            raise Abort(f"\n{where}: {error.strerror or error}\n")
