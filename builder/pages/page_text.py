"""Templates → texts of pages, and what texts, data and styles must undergo before they stand in
one. The only importer of jinja2."""

from __future__ import annotations

import json
import re
from functools import lru_cache
from pathlib import Path

import jinja2
import rcssmin
import rjsmin
from markupsafe import Markup, escape

from builder.drawing.connection_drawings import connection_picture
from builder.drawing.connections import Connection
from builder.numbers import exact_text
from builder.pages.chips import chip
from builder.procedure.ambient import shown_span
from builder.procedure.how_computed import row_text
from builder.procedure.sentences import BLANK

HERE = Path(__file__).parent    # of templates/ and assets/


def page_from(template: str, **context) -> str:
    """A page or a part of one from a file in `templates/` or the desk's; a name that it lacks
    raises."""
    return _environment().get_template(template).render(**context)


def as_json(data: dict) -> str:
    """Data as a file of its own."""
    return json.dumps(data, ensure_ascii=False) + "\n"


def as_script(data: dict) -> Markup:
    """JSON that can't end its script element."""
    return Markup(json.dumps(data, ensure_ascii=False,
                             separators=(",", ":")).replace("<", "\\u003c"))


def lean(name: str) -> str:
    """A file of `assets/` as it is served: a fifth less for a phone to fetch."""
    text = (HERE / "assets" / name).read_text(encoding="utf-8")
    return (rcssmin.cssmin(text) if name.endswith(".css") else rjsmin.jsmin(text)) + "\n"


@lru_cache(maxsize=1)
def _environment() -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader([HERE / "templates", HERE.parent / "desk/templates"]),
        undefined=jinja2.StrictUndefined,
        autoescape=True, trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True)
    environment.filters["md"] = _markdown_text
    environment.filters["blank"] = _blanks
    environment.filters["whole"] = _whole
    environment.filters["capital"] = exact_text.capital
    environment.filters["quoted"] = _quoted
    environment.filters["ended"] = _ended
    environment.filters["drawn"] = Markup
    environment.globals.update(accuracy_row=row_text, span=shown_span,
                               quantity=exact_text.quantity, amount=exact_text.amount,
                               decimals=exact_text.decimals,
                               frequencies=exact_text.frequencies, grouped=exact_text.grouped,
                               as_typed=_as_typed, connected=_connected, chip=chip)
    return environment


# ---------------------------------------------------------------- what templates call

def _markdown_text(text: str) -> Markup:
    """A text as Markdown that shows just that text: HTML and Markdown's own signs lose their
    meaning."""
    text = str(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return Markup(re.sub(r"([\\`*_{}\[\]()#+\-.!|~^=:$\"'])", _entity, text))


def _entity(match: re.Match) -> str:
    sign = match[1]
    return sign if sign in "().-:'\"+" and not match.start() == 0 else f"&#{ord(sign)};"


def _blanks(text: str) -> Markup:
    """A text with a line to write on wherever something is to be filled in."""
    return Markup(str(escape(text)).replace(BLANK, '<span class="line"></span>'))


def _whole(text: str) -> str:
    """A text in which a number stays with its unit."""
    return re.sub(r"(?<=[\d.]) (?=[^\d\W]|[°%…=])|(?<=[…=]) | (?==)", exact_text.NARROW, text)


def _quoted(text: str) -> Markup:
    """A title for the front matter; themes put it into HTML as it is, so it comes escaped."""
    return Markup(json.dumps(str(escape(text)), ensure_ascii=False))


def _ended(text: str) -> str:
    """What somebody typed as a sentence, with a full stop."""
    return text if text[-1:] in (".", "!", "?") else f"{text}."


def _connected(connection: Connection | None) -> Markup | str:
    return Markup(connection_picture(connection)) if connection else ""


def _as_typed(text: str) -> str:
    """An accuracy as its file has it, with the true sign for micro."""
    return re.sub(r"\bu(?=[VAFHs])", "µ", text)
