"""The frame around a page of the desk: that of the site itself, taken from the page that it shows
for an address that leads nowhere. So the desk looks as the site does, by the same styles."""

from __future__ import annotations

import re

from markupsafe import Markup, escape
from werkzeug.test import EnvironBuilder, run_wsgi_app

from builder.pages.locked import locked

# Without a site's frame: readable all the same.
PLAIN = ('<!doctype html><html lang="en"><head><meta charset="utf-8">'
         '<meta name="viewport" content="width=device-width, initial-scale=1">'
         "<title></title></head><body><article></article></body></html>")
_ARTICLE = re.compile(r"(<article\b[^>]*>).*(</article>)", re.S)
_POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>\n?')
_SCRIPT = re.compile(r"<script\b.*?</script>", re.S)
_STYLE = re.compile(r"<style>.*?</style>", re.S)
_SERIAL = re.compile(r'data-field="serial">[^<]*')
_TITLE = re.compile(r"<title>.*?</title>", re.S)
# What reloads a page when the site was built anew would take what somebody types.
_RELOADS = re.compile(r"<script>(?:(?!</script>).)*livereload.*?</script>", re.S)


class Shell:
    """The frame, asked of the `site` once: it stays as it is while the site is served."""

    def __init__(self, site, mount: str = "/"):
        self.site, self.mount, self._frame = site, mount, ""

    def around(self, title: str, content: Markup, style: str = "") -> str:
        """A whole page, locked as those of the site are: of its content only the `style` counts,
        which the builder wrote."""
        self._frame = self._frame or without_reload(_POLICY.sub("", self.page("404.html")))
        frame = self._frame or PLAIN
        frame = _TITLE.sub(lambda _: f"<title>{escape(title)}</title>", frame, count=1)
        whole = _ARTICLE.sub(lambda tag: f"{tag[1]}\n{content}\n{tag[2]}", frame, count=1)
        return locked(whole, own=frame + style)

    def page(self, name: str) -> str:
        """A page of the site as it serves it; "" where there is none."""
        environ = EnvironBuilder(path=f"{self.mount}{name}").get_environ()
        pieces, status, _ = run_wsgi_app(self.site, environ, buffered=True)
        text = b"".join(pieces).decode("utf-8", "replace")
        return text if status.startswith("200") and _ARTICLE.search(text) else ""

    def sheet(self, name: str, serial: str) -> tuple[str, Markup]:
        """A printed sheet: its own style, and its page without scripts, with the serial number of a
        meter, if it is for one. ("", "") where the site has none of that name."""
        found = _ARTICLE.search(self.page(name))
        page = _SCRIPT.sub("", found[0].removeprefix(found[1]).removesuffix(found[2])
                           ) if found else ""
        style = _STYLE.search(page)
        mark = f" <b>{escape(serial)}</b>" if serial else ""
        filled = _SERIAL.sub(lambda tag: tag[0] + mark, page, count=1)
        return (style[0] if style else ""), Markup(_STYLE.sub("", filled))


def without_reload(page: str) -> str:
    """A page of the site that stays as it is when the site is built anew."""
    return _RELOADS.sub("", page)


def with_script(page: str, script: str, **data: str) -> str:
    """A page of the site with a script of the desk in the place of the one that reloads it: it
    gets what that one knew of the site's state, and `data`."""
    epoch = re.search(r"livereload\((\d+), \d+\)", page)
    marks = "".join(f' data-{name}="{escape(text)}"' for name, text in
                    {**data, "epoch": epoch[1] if epoch else ""}.items())
    before, end, after = without_reload(page).rpartition("</body>")
    return f'{before}<script src="{escape(script)}"{marks}></script>{end}{after}'
