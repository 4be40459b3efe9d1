"""Who may ask the desk: the pages of this very machine, and only those that it made itself since
it was started. It keeps out other sites in the same browser; it keeps out nobody who is logged in
on this machine."""

from __future__ import annotations

import secrets
from io import BytesIO

from werkzeug.wrappers import Request, Response

from builder.pages.engine import is_of_this_machine

# The largest request: a record has some hundred kilobytes. It is refused by what its head says
# before any of it is read, and nothing is read beyond.
LARGEST = 16_000_000
# For whatever is answered: no other site shows the pages in a frame, and nothing keeps them.
HEADERS = {"X-Frame-Options": "DENY", "X-Content-Type-Options": "nosniff",
           "Content-Security-Policy": "frame-ancestors 'none'; form-action 'self'; base-uri 'none'",
           "Cross-Origin-Resource-Policy": "same-origin", "Referrer-Policy": "same-origin",
           "Cache-Control": "no-store"}


class BoundedRequest(Request):
    """A request of which no more is read than a shop's files need."""

    max_content_length = LARGEST
    max_form_memory_size = LARGEST
    max_form_parts = 1000

    def _get_file_stream(self, *_, **__) -> BytesIO:
        """What is uploaded is held, and written nowhere but where the desk puts it."""
        return BytesIO()


class Token:
    """What every form carries that may write; another one at each start."""

    def __init__(self) -> None:
        self.text = secrets.token_urlsafe(32)

    def is_in(self, form) -> bool:
        return secrets.compare_digest(str(form.get("token", "")).encode(), self.text.encode())


def foreign(environ: dict) -> str:
    """Why a request is refused, whatever it asks for; "" where it isn't."""
    host = environ.get("HTTP_HOST", "")
    if not is_of_this_machine(host):
        return "This address is not the one of this machine: open 127.0.0.1."
    if not is_of_this_machine(environ.get("REMOTE_ADDR") or "127.0.0.1"):
        return "Only this machine may ask."
    origin = environ.get("HTTP_ORIGIN")
    if origin is not None and origin.lower() != f"http://{host}".lower():
        return "Another site asked for this."
    return ""


def foreign_writer(request: Request) -> str:
    """Why a request that would write is refused; "" where it isn't. Whether its form carries the
    token is asked when it is read."""
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        return "Another site asked for this."
    if request.content_length is None:
        return "How long the request is must stand in its head."
    if request.content_length > LARGEST:
        return f"No more than {LARGEST // 1_000_000} MB are taken in at a time."
    return ""


def refusal(sentence: str, code: int = 403) -> Response:
    return Response(sentence + "\n", code, content_type="text/plain; charset=utf-8")
