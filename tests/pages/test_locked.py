"""What a page may load and run: the site's own files and nothing else, from a server, from a folder
and while serving. Every tab of these tests fails on what its page's policy refuses (`tab` in
tests/conftest.py)."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time

import pytest

from builder.pages.locked import locked, locked_as_sent
from tests import small_shop as shop
from tests.conftest import PAGES, files_in, one_of_each
from tests.phone_bench import NAME, small_site

# SHA-256 of "run()" and of "p{}", in Base64, by `openssl dgst -sha256 -binary | base64`
RUN = "'sha256-AvyuiL0SD1mVY3NNxR+V2uo+lhk6RMFrytWmRt6CrJQ='"
LOOK = "'sha256-gG2yISYereRMiG2lMXrbiUgi0Ubw9p7QCeWcroOvy9Y='"
# `python -m mkdocs` that Ctrl-C ends, also where the tests were started by nohup or behind a `&`:
# they ignore it then, and so does all that they start
HEARS_CTRL_C = ("import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
                "from mkdocs.__main__ import cli; cli()")
PAGE = "<!doctype html>\n<head>\n<meta charset=utf-8>\n<title>x</title></head><body>{}</body>"


def policy(html: str) -> dict[str, str]:
    (text,) = re.findall(r'<meta charset=utf-8>\n<meta http-equiv="Content-Security-Policy" '
                         r'content="([^"]*)">', html)
    return dict(one.split(" ", 1) for one in text.split("; "))


def test_a_page_allows_its_own_files_and_what_the_theme_has_in_it():
    """Data is no script, and a script from a file needs no hash."""
    found = policy(locked(PAGE.format(
        '<script>run()</script><script type="application/json">{"a":1}</script>'
        '<script src="a.js"></script><style>p{}</style>')))
    assert found == {
        "default-src": "'none'", "script-src": f"'self' {RUN}", "style-src": f"'self' {LOOK}",
        "img-src": "'self' data:", "font-src": "'self'", "connect-src": "'self'",
        "worker-src": "'self'", "manifest-src": "'self'", "form-action": "'self'",
        "base-uri": "'none'"}


def test_of_what_came_from_files_nothing_runs():
    """`own` is what counts: a script that got into the rest is not allowed by its own hash."""
    html = PAGE.format("<script>run()</script><style>p{}</style>")
    found = policy(locked(html, own="<style>p{}</style>"))
    assert found == policy(locked(html)) | {"script-src": "'self'"}


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_line_ends_are_hashed_as_a_browser_reads_them(end):
    assert policy(locked(PAGE.format(f"<script>a{end}b</script>"))) == policy(
        locked(PAGE.format("<script>a\nb</script>")))


def sent(body: bytes, kind: str) -> tuple[bytes, dict[str, str]]:
    def app(_, start_response):
        start_response("200 OK", [("Content-Type", kind), ("Content-Length", str(len(body)))])
        return [body]
    started = []
    parts = locked_as_sent(app)({}, lambda *told: started.append(told))
    return b"".join(parts), dict(started[0][1])


def test_as_it_is_sent_a_page_may_run_its_last_script():
    """Which the engine's own server puts in; what is no page is sent as it is."""
    html = locked(PAGE.format("é")).replace("</body>", "<script>run()</script></body>")
    body, headers = sent(html.encode(), "text/html")
    assert policy(body.decode())["script-src"] == f"'self' {RUN}"
    assert headers["Content-Length"] == str(len(body)) and "é".encode() in body
    for other, kind in ((b"<script>run()</script>", "text/plain"), (b"404", "text/html")):
        assert sent(other, kind)[0] == other


def test_every_page_is_locked(demo):
    """And none has a style on an element, nor anything that runs by an attribute."""
    pages = {name: text.decode() for name, text in files_in(demo.site).items()
             if name.endswith(".html")}
    assert len(pages) > 100 and "404.html" in pages
    for name, text in pages.items():
        assert text.count('<meta http-equiv="Content-Security-Policy"') == 1, name
        assert not re.search(r"<[a-z][^>]*\s(style|on[a-z]+)=", text), name


# ---------------------------------------------------------------- in a browser

HOSTILE = '"><script>window.harm=1</script><img src=x onerror="window.harm=1"><style>*{}</style>'


@pytest.mark.browser
@pytest.mark.parametrize("where", ["server", "folder"])
def test_no_kind_of_page_meets_its_policy(tab, served, demo, where):
    """Nothing of any page is refused, and its scripts are there."""
    page = tab()
    base = served if where == "server" else f"{demo.site.as_uri()}/"
    beside = [f"history/{next((demo.site / 'history').glob('*.html')).stem}", "shop", "404"]
    for name in (*one_of_each(PAGES), *beside):
        if (where, name) == ("folder", "404"):      # its addresses begin at the host
            continue
        page.goto(f"{base}{name}.html?x={HOSTILE}#record={HOSTILE}")
        assert page.evaluate("[typeof __md_get, window.harm]") == ["function", None], name
    page.goto(f"{base}limits.html#meter=whimbrel-200&function=DC+voltage&value=3+V")
    page.get_by_text("tolerance only").first.wait_for()
    if where == "server":
        page.locator("input.md-search__input").fill("thermocouple")
        page.locator(".md-search-result__item").first.wait_for()


@pytest.mark.browser
def test_what_got_past_the_escaping_would_run_nothing(tab, lasting_project):
    """The second lock alone: put into a page by hand, hostile texts run, load and send nothing, and
    each attempt is told of."""
    site = small_site(lasting_project)
    page = tab(may_refuse=True)
    page.goto((site / f"procedures/{NAME}.html").as_uri())
    said = page.evaluate("""async text => { const said = [];
        addEventListener('securitypolicyviolation', e => said.push(e.effectiveDirective));
        const put = (name, more) => document.body.append(
          Object.assign(document.createElement(name), more));
        document.body.insertAdjacentHTML('beforeend', text);
        put('script', {textContent: 'window.harm = 1'});
        put('script', {src: 'https://sheets.example/x.js'});
        put('iframe', {src: 'https://sheets.example/'});
        put('img', {src: 'https://sheets.example/x.png'});
        await fetch('https://sheets.example/').catch(() => 0);
        const form = Object.assign(document.createElement('form'),
          {action: 'https://sheets.example/', method: 'post'});
        document.body.append(form); form.submit();
        await new Promise(done => setTimeout(done, 300));
        return said }""", HOSTILE)
    assert page.evaluate("window.harm") is None
    assert {"script-src-attr", "script-src-elem", "style-src-elem", "frame-src", "img-src",
            "connect-src", "form-action"} <= set(said)


@pytest.mark.browser
def test_a_page_is_loaded_again_while_serving(tab, project):
    """By the engine's script, which it puts into each page as it sends it."""
    made = project().write(meter=shop.meter(), standard=shop.standard(), plan=shop.plan())
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        where = f"127.0.0.1:{free.getsockname()[1]}"
    server = subprocess.Popen([sys.executable, "-c", HEARS_CTRL_C, "serve", "--dev-addr", where],
                              cwd=made.root, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        page = tab()
        for _ in range(100):
            try:
                page.goto(f"http://{where}/index.html")
                break
            except Exception:    # not yet there
                time.sleep(0.2)
        page.get_by_text("Loaded again").wait_for(state="detached")
        text = (made.root / "site_src/index.md").read_text(encoding="utf-8")
        (made.root / "site_src/index.md").write_text(text + "\nLoaded again.\n", encoding="utf-8")
        page.get_by_text("Loaded again").wait_for(timeout=20_000)
    finally:
        try:
            server.send_signal(signal.SIGINT if os.name != "nt" else signal.SIGTERM)
            server.wait(10)
        finally:    # it outlives no test, and none is left that a later test would be blamed for
            server.kill()
            server.wait(30)
