"""What a page may load and run: the site's own files, and of what stands in the page itself what
the builder and the engine's theme put there. Said by a content security policy (W3C, CSP Level 3)
in the page's head, so that it holds on any host and from a folder, with nothing to set up.

What comes from files and records is escaped where it is written. This is the second lock: a text
that got past the first one runs nothing, loads nothing and sends nothing. """

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterable

# `img-src data:` is the theme's: its icons stand in its style sheet. Frames, plugins and what is
# not named here are refused by `default-src`.
_POLICY = ("default-src 'none'; script-src 'self'{scripts}; style-src 'self'{styles}; "
           "img-src 'self' data:; font-src 'self'; connect-src 'self'; worker-src 'self'; "
           "manifest-src 'self'; form-action 'self'; base-uri 'none'")
_CHARSET = re.compile(r"<meta charset=[^>]*>\n?", re.I)
_INLINE = re.compile(r"<(script|style)\b([^>]*)>(.*?)</\1\s*>", re.S | re.I)
# of scripts: one from a file, and one that is data
_NOT_RUN = re.compile(r"""\bsrc\s*=|\btype\s*=\s*["']?(?!module\b|text/javascript)""", re.I)
_SCRIPTS = "script-src 'self'"


def locked(html: str, own: str | None = None) -> str:
    """A whole page with its policy at the head. `own` are the parts of it in which scripts and
    styles count: what the theme puts around its content, and the builder's style. None is all of
    it, of a page that people wrote."""
    inline = [(kind.lower(), text) for kind, marks, text in _INLINE.findall(
        html if own is None else own) if not _NOT_RUN.search(marks)]
    policy = _POLICY.format(scripts=_hashes(text for kind, text in inline if kind == "script"),
                            styles=_hashes(text for kind, text in inline if kind == "style"))
    at = _CHARSET.search(html)
    end = at.end() if at else html.index("<head>") + len("<head>")
    return (f'{html[:end]}<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
            f'{html[end:]}')


def locked_as_sent(app: Callable) -> Callable:
    """A server's application (WSGI) whose pages may also run their last script: the one by which
    the engine's own server loads them again, which it puts in as it sends them."""
    def sending(environ, start_response):
        held = []
        parts = app(environ, lambda *start: held.append(start))
        status, headers, *more = held[0]
        if dict(headers).get("Content-Type", "").startswith("text/html"):
            html = b"".join(parts).decode()
            *_, (kind, _, script) = _INLINE.findall(html) or [("", "", "")]
            if kind == "script":
                html = html.replace(_SCRIPTS, _SCRIPTS + _hashes([script]), 1)
            parts = [html.encode()]
            headers = [(name, value) for name, value in headers if name != "Content-Length"]
            headers.append(("Content-Length", str(len(parts[0]))))
        start_response(status, headers, *more)
        return parts
    return sending


def _hashes(texts: Iterable[str]) -> str:
    """What a policy says of texts that stand in a page, " 'sha256-…'" each; a page's line ends are
    single line feeds to a browser."""
    return "".join(f" 'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
                   for text in dict.fromkeys(one.replace("\r\n", "\n") for one in texts))
