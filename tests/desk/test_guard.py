"""The desk attacked: what each attack gets, and that nothing is written."""

import http.client
import io
import threading
import time
from wsgiref.simple_server import WSGIRequestHandler, make_server

import pytest
from werkzeug.test import EnvironBuilder, TestResponse, run_wsgi_app
from werkzeug.wrappers import Request

from builder.desk import guard
from builder.pages import engine
from tests.desk.conftest import HERE, PLAN

APPROVE = f"approve?name={PLAN}"


def approval(at) -> dict:
    return at.fill(APPROVE, by="T. Askew")


@pytest.mark.parametrize("origin", ["http://evil.example", "http://127.0.0.1:9999", "null", "",
                                    "https://127.0.0.1:8000", "http://127.0.0.1:8000.evil.example",
                                    "http://localhost:8000"])
def test_a_forged_origin_is_refused(at, origin):
    """Even with the right token: another site, another port, a frame without an origin."""
    fields, before = approval(at), at.files()
    answer = at.post("approve", fields, headers={"Origin": origin})
    assert answer.status_code == 403 and answer.text == "Another site asked for this.\n"
    assert at.files() == before


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8000", "127.0.0.1.evil.example",
                                  "localhost.evil.example:8000", "192.168.1.7:8000", "0.0.0.0:8000",
                                  "", "127.0.0.1:8000@evil.example", "[::2]:8000"])
@pytest.mark.parametrize("path", ["/desk/", "/index.html", "/reports/x.html"])
def test_a_name_from_elsewhere_that_leads_here_is_refused(at, host, path):
    """DNS rebinding: neither the desk nor the site is shown."""
    answer = at.client.get(path, base_url=HERE, headers={"Host": host})
    assert answer.status_code == 403 and "open 127.0.0.1" in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:8000", "LOCALHOST", "[::1]:8000",
                                  "127.0.0.1"])
def test_this_machine_by_its_own_names_is_not(at, host):
    """The loopback addresses, whatever the port."""
    assert at.client.get("/desk/", base_url=HERE, headers={"Host": host}).status_code == 200


@pytest.mark.parametrize("address, has", [
    ("http://127.0.0.1:8123/", True), ("http://localhost:8123/below/", True),
    ("http://0.0.0.0:8123/", False), ("http://192.168.1.7:8123/", False)])
def test_where_other_machines_may_ask_there_is_no_desk(address, has):
    """The site alone is served there."""
    assert engine.has_desk(address) == has


def test_another_machine_is_refused(at):
    """Should the server be bound elsewhere after all."""
    answer = at.get("", environ_base={"REMOTE_ADDR": "192.168.1.7"})
    assert (answer.status_code, answer.text) == (403, "Only this machine may ask.\n")


@pytest.mark.parametrize("token", [None, "", "x" * 43, "\ud83d"])
def test_a_form_without_the_token_of_this_start_writes_nothing(at, token):
    """Left out, empty, guessed, no text."""
    fields, before = approval(at), at.files()
    del fields["token"]
    if token is not None:
        fields["token"] = token.encode("utf-8", "replace").decode()
    answer = at.post("approve", fields)
    assert answer.status_code == 403 and "Nothing was written" in answer.text
    assert at.files() == before


def test_each_start_has_a_token_of_its_own(at):
    """One of an earlier start is too old."""
    assert guard.Token().text != guard.Token().text and len(guard.Token().text) >= 40


def test_a_form_sent_from_another_site_is_refused(at):
    """As browsers tell it, where they send no origin."""
    fields = approval(at)
    for said in ("cross-site", "same-site"):
        assert at.post("approve", fields, headers={"Sec-Fetch-Site": said}).status_code == 403


def test_nothing_is_written_by_looking(at):
    """GET shows what would be frozen."""
    before = at.files()
    for path in ("", APPROVE, f"approve?name={PLAN}&by=A&token={at.desk.token.text}", "withdraw",
                 "open?serial=0147", "problems"):
        assert at.get(path).status_code == 200
    assert at.files() == before
    assert at.client.put("/desk/approve", base_url=HERE).status_code == 405


@pytest.mark.parametrize("name", ["../../etc/passwd", "..", "/etc/passwd", "%2e%2e/x", "a\0b",
                                  "approved/../x", "C:\\x", "x" * 5000])
def test_a_name_that_leads_out_of_the_shop_is_none(at, name):
    """As a page's, a plan's, a report's or a sheet's name."""
    before = at.files()
    for path in (name, f"approve?name={name}", f"finish?name={name}", f"amend?name={name}",
                 f"withdraw?name={name}", f"open?serial={name}"):
        answer = at.get(path)
        assert answer.status_code in (200, 302, 404, 409), answer.text
        assert "root:" not in answer.text and "Traceback" not in answer.text
    fields = approval(at) | {"name": name}
    assert at.post("approve", fields).status_code == 409
    assert at.files() == before


def test_what_is_typed_is_shown_as_text(at):
    """No tag comes through, wherever it is shown again."""
    tag = "<script>alert(1)</script>"
    fields = approval(at) | {"seen": "old", "by": f'"{tag}'}
    for answer in (at.post("approve", fields), at.get(f"open?serial={tag}"),
                   at.get(f"approve?name={tag}")):
        assert tag not in answer.text and "&lt;script&gt;" in answer.text


def test_no_other_site_shows_it_in_a_frame(at):
    """So that nobody is led to click what they don't see; and nothing is kept."""
    headers = at.get(APPROVE).headers
    assert headers["X-Frame-Options"] == "DENY" and headers["Cache-Control"] == "no-store"
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]


class Unread(io.RawIOBase):
    """A gigabyte that counts what is read of it."""

    def __init__(self, size: int):
        self.left, self.taken = size, 0

    def readable(self) -> bool:
        return True

    def readinto(self, into) -> int:
        count = min(len(into), self.left)
        into[:count] = b"x" * count
        self.left, self.taken = self.left - count, self.taken + count
        return count


def streamed(at, body: Unread, kind: str, **head: str):
    """What a request gets whose body is read from a stream."""
    environ = EnvironBuilder(path="/desk/approve", method="POST", base_url=HERE).get_environ()
    answer = run_wsgi_app(at.desk, environ | {"wsgi.input": body, "CONTENT_TYPE": kind} | head)
    return TestResponse(*answer, Request(environ))


def test_a_gigabyte_is_refused_unread(at):
    """By what its head says of its length."""
    body = Unread(2**30)
    answer = streamed(at, body, "multipart/form-data; boundary=b", CONTENT_LENGTH=str(2**30))
    assert answer.status_code == 403 and "No more than 16 MB" in answer.text
    assert body.taken == 0


def test_a_length_that_is_not_told_is_refused(at):
    """As of a stream in chunks, which may never end."""
    body = Unread(2**30)
    answer = streamed(at, body, "multipart/form-data; boundary=b", HTTP_TRANSFER_ENCODING="chunked")
    assert answer.status_code == 403 and "must stand in its head" in answer.text
    assert body.taken == 0


def test_a_length_that_lies_is_read_no_further(at):
    """A gigabyte behind a head that says a hundred bytes."""
    body = Unread(2**30)
    answer = streamed(at, body, "application/x-www-form-urlencoded", CONTENT_LENGTH="100")
    assert answer.status_code == 403 and body.taken <= 100


def test_a_thousand_and_one_fields_are_refused(at):
    """A form that is small and has no end."""
    parts = "".join('--b\r\nContent-Disposition: form-data; name="x"\r\n\r\n\r\n'
                    for _ in range(1001)) + "--b--\r\n"
    answer = at.client.post("/desk/approve", base_url=HERE, data=parts.encode(),
                            content_type="multipart/form-data; boundary=b")
    assert answer.status_code == 413


def test_a_real_server_ends_a_gigabyte_at_once(at):
    """Streamed over a socket: refused before a hundredth of it was sent."""
    import socket

    class Quiet(WSGIRequestHandler):
        def log_message(self, *_):
            pass
    with make_server("127.0.0.1", 0, at.desk, handler_class=Quiet) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            for host, code in (("evil.example", 403), ("127.0.0.1", 200)):
                asked = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
                asked.request("GET", "/desk/", headers={"Host": host})
                assert asked.getresponse().status == code
                asked.close()
            with socket.create_connection(("127.0.0.1", server.server_port), timeout=10) as line:
                line.sendall(f"POST /desk/approve HTTP/1.1\r\nHost: 127.0.0.1:{server.server_port}"
                             f"\r\nContent-Length: {2**30}\r\n\r\n".encode())
                sent, began = 0, time.monotonic()
                try:
                    while sent < 2**30:
                        sent += line.send(b"x" * 65536)
                except OSError:
                    pass
            assert sent < 2**30 / 100 and time.monotonic() - began < 10
        finally:
            server.shutdown()
            thread.join()
