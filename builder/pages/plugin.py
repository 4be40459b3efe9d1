"""Pages → MkDocs. The only importer of mkdocs; everything it adds is rendered elsewhere.

Generated pages stay out of `nav`: with an entry each, every page would carry the whole menu and the
build would grow with the square of the pages. """

from __future__ import annotations

import os
from dataclasses import replace
from functools import partial
from pathlib import Path

from mkdocs.config import config_options as option
from mkdocs.config.base import Config
from mkdocs.exceptions import Abort
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, InclusionLevel
from mkdocs.structure.toc import get_toc

from builder.files.cache import Cache
from builder.files.kept_texts import KeptTexts
from builder.files.problems import as_text
from builder.pages import (engine, home, kept_pages, kept_templates, left_out, lists, offline,
                           page_text, raw_blocks, render, settings, written)
from builder.pages.locked import locked, locked_as_sent
from builder.shop import contents, loading, public

log = get_plugin_logger("procedures")


class ProceduresConfig(Config):
    folder = option.Choice(("procedures",), default="procedures")   # which every command reads
    lessons = option.Type(bool, default=True)
    publish = option.Choice((public.ALL, public.SHEETS), default=public.ALL)


class ProceduresPlugin(BasePlugin[ProceduresConfig]):
    serving = False
    kept: Cache | None = None

    def on_startup(self, *, command, dirty):     # which keeps this one instance while serving
        self.serving = command == "serve"

    def on_config(self, config):
        """Loads and computes. Here, since MkDocs empties the site's folder right after this event:
        a build that finds no folder to read leaves the last site."""
        os.environ["SOURCE_DATE_EPOCH"] = "0"   # the same bytes, whatever the day
        folder = Path(config.config_file_path).parent / self.config.folder
        own = replace(settings.read(Path(config.config_file_path)), lessons=self.config.lessons,
                      publish=self.config.publish)
        self.address, self.out = own.address, own.out    # 'serve' puts its own into the config
        if not self.address:
            log.info("No site_url in mkdocs.yml: the sheets carry no code to scan.")
        config.nav = config.nav and left_out.without_entries(config.nav, self.out)
        config.watch.append(str(folder))
        config.extra_javascript.append(offline.SCRIPT)
        config.theme.dirs.insert(0, str(page_text.HERE / "theme"))
        # tables whose columns are set by an attribute, since pages allow no style of an element
        config.mdx_configs.setdefault("tables", {})["use_align_attribute"] = True
        self.kept = self.serving and self.kept or Cache(forgetful=not self.serving,
                                                        texts=KeptTexts(folder.parent))
        self.shop = loading.load_shop(folder, kept=self.kept, as_of=engine.day_asked(self.serving))
        self.written = written.read(Path(config.docs_dir), self.shop, self.out)
        self.shop.problems += self.written.problems
        if self.shop.stopping and not self.serving:
            raise Abort("\n" + as_text(self.shop.problems) + "\n")
        self.told, self.wrong = as_text(self.shop.problems), bool(self.shop.errors)
        if self.told and (self.serving or not self.wrong):  # else they are the build's last words
            log.info("\n%s\n", self.told)
        for line in contents.summary(self.shop):
            log.info(line)
        self.shop = public.shown(self.shop, own.publish)
        return config

    def on_files(self, files, *, config):
        """Adds the pages that come with the builder, and the generated ones."""
        def add(uri: str, **holds) -> None:
            files.append(File.generated(config, uri, inclusion=InclusionLevel.NOT_IN_NAV, **holds))

        for uri, path in self.written.beside.items():
            add(uri, abs_src_path=str(path))
        words = files.get_file_from_path("glossary.md")
        site = render.render(self.shop, self.address, words.content_string if words else "",
                             kept=self.kept, excerpts=self.serving)
        self.generated = {uri for uri in site.pages if not files.get_file_from_path(uri)}
        texts = site.pages | site.files | offline.own(config.site_name, self.serving)
        if first := files.get_file_from_path(home.PAGE):
            self.written.taught[home.PAGE] = home.filled(first.content_string, site.today,
                                                             engine.around)
        del site
        kept_pages.keep_index(config.plugins.get("material/search"), self.generated, self.kept)
        for uri in list(texts):
            text = texts.pop(uri)
            if files.get_file_from_path(uri):
                log.info("%s is written by hand; the generated page is left out.", uri)
            if files.get_file_from_path(uri) or left_out.is_out(uri, self.out):
                continue
            # As bytes: a text with one sign beyond Latin takes two bytes a letter, and MkDocs holds
            # all pages at once.
            content = (text if isinstance(text, bytes)
                       else left_out.without_links(text, uri, self.out).encode())
            add(uri, content=content)
        for file in files.documentation_pages():
            uri = file.src_uri
            if uri in self.written.taught or self.out and uri not in self.generated:
                text = self.written.taught.get(uri) or file.content_string
                file.content_string = left_out.without_links(text, uri, self.out)
        self.shop = None  # what was computed isn't needed while the pages are built
        return files

    def on_pre_page(self, page, *, config, files):
        if page.file.src_uri in self.generated:
            page.render = partial(kept_pages.convert, page, texts=self.kept.texts, toc_of=get_toc)
        return page

    def on_page_markdown(self, markdown, *, page, config, files):
        """Where files hold mistakes, the pages at the site's start say so."""
        if self.wrong and "/" not in page.file.src_uri and page.file.src_uri != "problems.md":
            markdown = lists.FAULT + markdown
        return raw_blocks.put_away(markdown) if page.file.src_uri in self.generated else markdown

    @event_priority(-100)  # after every other plugin has put its own into it
    def on_env(self, env, *, config, files):
        return kept_templates.around(env, config, self.generated, self.kept.texts)

    @event_priority(-100)  # after every other plugin: what comes back is the page's final HTML
    def on_post_page(self, output, *, page, config):
        own = page.file.src_uri in self.generated
        return kept_pages.whole(output, page) if own else locked(output)

    def on_post_template(self, output_content, *, template_name, config):
        return locked(output_content) if template_name.endswith(".html") else output_content

    def on_serve(self, server, *, config, builder):
        """While serving, the engine puts its script for reloading into each page as it is sent."""
        server.set_app(engine.surrounded(locked_as_sent(server.get_app()), server.mount_path))

    @event_priority(-100)  # when every other plugin has written its files
    def on_post_build(self, *, config):
        if not self.serving:
            offline.write(Path(config.site_dir))
            self.kept.texts.prune()
            if self.wrong:
                raise Abort(f"\n{self.told}\n\nWhat depends on these files is missing.\n")

    def on_build_error(self, *, error):
        if isinstance(error, OSError):      # a full disk, or a folder that can't be read
            where = error.filename2 or error.filename or "The build stopped"
            raise Abort(f"\n{where}: {error.strerror or error}\n")
