"""The site without a network, in Chromium and from a server that can fail, hang, redirect or live
below a path."""

from __future__ import annotations

import contextlib
import functools
import gzip
import hashlib
import http.server
import json
import re
import shutil
import threading
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from builder.pages import offline, page_text, render
from tests import small_shop as shop
from tests.conftest import METERS, PAGES, SHEETS, WORKER

SHEET = "procedures/whimbrel-200-yearly"
ICON = "pictures/icon.svg"
SMALL = {
    "meter": shop.meter(shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"),
                                      dial="V DC")),
    "standard": shop.standard(),
    "plan": shop.plan({"function": "DC voltage", "apply": ["3 V", "-3 V"]})}
COPY = re.compile(r"^No network: this copy is from (\d{4}-\d\d-\d\d \d\d:\d\d)$")
NEWER = "A newer version of this page is here: reload when it suits"
TYPES = {".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css",
         ".json": "application/json", ".png": "image/png"}


@functools.cache
def packed(body: bytes) -> bytes:
    """Once for all hosts, since every test's host has nearly the same files."""
    return gzip.compress(body, 6, mtime=0)


class Host:
    """A static host of a folder. `down` breaks every connection off; what `hangs` fits waits until
    it is let go; `breaks` are answered with 500; `pretty` leaves .html out of addresses, with
    nothing or with '/' in its place."""

    def __init__(self, folder: Path, below: str = "/"):
        self.folder, self.below, self.pretty = folder, below, None
        self.down, self.hangs, self.breaks = False, None, None
        self.let_go = threading.Event()
        self.asked: list[tuple[str, int, int]] = []  # path, status, bytes of the body
        host = self

        class Handler(http.server.BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def log_message(self, *_):
                pass

            def do_GET(self):
                host.answer(self)

        class Server(http.server.ThreadingHTTPServer):
            daemon_threads, block_on_close = True, False

            def handle_error(self, *_):
                pass  # a browser that has gone

        self.server = Server(("127.0.0.1", 0), Handler)
        self.home = f"http://127.0.0.1:{self.server.server_port}{below}"
        threading.Thread(target=self.server.serve_forever, kwargs={"poll_interval": 0.05},
                         daemon=True).start()

    def close(self):
        self.let_go.set()
        self.server.shutdown()
        self.server.server_close()

    def answer(self, to):
        address = unquote(urlsplit(to.path).path)
        name = address.removeprefix(self.below)
        if self.hangs and re.search(self.hangs, name):
            self.let_go.wait(60)
        if self.down:
            to.close_connection = True
            return
        status, head, body = self.find(address, name, to.headers)
        text = "".join(f"{key}: {value}\r\n" for key,
                       value
                       in {**head,
                           **({} if status == 304 else {"Content-Length": len(body)})}.items())
        self.asked.append((name, status, len(body)))
        to.wfile.write(f"HTTP/1.1 {status} -\r\n{text}\r\n".encode() + body)

    def find(self, address, name, headers):
        if not address.startswith(self.below):
            return 404, {}, b""
        if self.breaks and re.search(self.breaks, name):
            return 500, {}, b"broken"
        if self.pretty is not None and name.endswith(".html"):
            bare = name.removesuffix(".html")
            return 301, {"Location": self.below
                         + (bare.removesuffix("index") if bare.endswith("index")
                            else bare + self.pretty)}, b""
        path = self.folder / (name or "index.html")
        if self.pretty is not None and not path.is_file():
            path = self.folder / (name.rstrip("/") + ".html")
        if not path.is_file():
            return 404, {"Content-Type": "text/html"}, b"not here"
        body = path.read_bytes()
        tag = f'"{hashlib.sha256(body).hexdigest()[:16]}"'
        # As common hosts do it: a few minutes in which a browser may use what it has without
        # asking.
        head = {"ETag": tag, "Cache-Control": "max-age=600", "Vary": "Accept-Encoding"}
        if headers["If-None-Match"] in (tag, f"W/{tag}"):
            return 304, head, b""
        head["Content-Type"] = TYPES.get(path.suffix, "application/octet-stream")
        if "gzip" in (headers["Accept-Encoding"] or "") and path.suffix != ".png":
            head["Content-Encoding"], body = "gzip", packed(body)
        return 200, head, body


@pytest.fixture
def host():
    with contextlib.ExitStack() as stack:
        def start(folder: Path, **more) -> Host:
            made = Host(folder, **more)
            stack.callback(made.close)
            return made
        yield start


def part_of(site: Path, folder: Path) -> Path:
    """A copy of a site without exercises, lessons, reports and evidence, which take most of the
    time until all is kept."""
    shutil.copytree(site, folder, ignore=shutil.ignore_patterns(
        "practice", "lessons", "reports", "evidence", "history"))
    offline.write(folder)
    return folder


@pytest.fixture
def small(lasting_project, tmp_path, tmp_path_factory) -> Path:
    """A site of one sheet, in a folder of its own."""
    if not hasattr(lasting_project, "small"):
        lasting_project.small = part_of(lasting_project().write(**SMALL).build().site,
                                        tmp_path_factory.mktemp("small") / "site")
    return Path(shutil.copytree(lasting_project.small, tmp_path / "site"))


def change(folder: Path, page: str = "using", text: str = "Revised.") -> None:
    """A new version of the site: a page that says something more."""
    path = folder / f"{page}.html"
    path.write_text(
        path.read_text(encoding="utf-8").replace("</h1>", f"</h1><p class=revised>{text}</p>", 1),
        encoding="utf-8")
    offline.write(folder)


def version(folder: Path) -> str:
    return re.search(r"VERSION = '(\w+)'", (folder / "sw.js").read_text(encoding="utf-8"))[1]


def complete(page, at: Host) -> None:
    """Waits until all of the site's present version is kept."""
    until(lambda: page.evaluate(
        """async home => {
          const name = 'bench-1-kept ' + new URL(home).pathname;
          const done = await caches.has(name)
              && await (await caches.open(name)).match(new URL('sw.js?complete', home));
          return done && done.text() }""", at.home) == version(at.folder))


def kept(page, at: Host, store: str = "kept") -> list[str]:
    return page.evaluate("""async ([home, store]) => {
        const name = `bench-1-${store} ${new URL(home).pathname}`;
        return await caches.has(name) ? (await (await caches.open(name)).keys())
            .map(request => decodeURIComponent(request.url.slice(home.length))) : [] }""",
                         [at.home, store])


def until(true, seconds: float = 40) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.05)


def looked(page) -> None:
    """Waits until the worker has answered the page, and what that says of it would stand there: a
    line is filled in 50 ms after it was put in, and of two such timers the later ends later."""
    page.evaluate("""() => Bench.offline.look().then(
                         () => new Promise(done => setTimeout(done, 50)))""")


def status(page) -> str:
    """The line at the head of the page, once it is there."""
    line = page.locator("article > p.copy:not(:empty)")
    line.wait_for()
    assert line.get_attribute("role") == "status"
    return line.inner_text()


def visit(page, at: Host, name: str = "index.html"):
    page.goto(at.home + name)
    complete(page, at)
    return page


# ---------------------------------------------------------------- the worker's text

def test_the_same_site_gives_the_same_worker(small, tmp_path):
    """Neither place nor time of the files changes a byte; a changed file does."""
    first = (small / "sw.js").read_bytes()
    other = Path(shutil.copytree(small, tmp_path / "another place", copy_function=shutil.copy))
    assert offline.worker(other).encode() == offline.worker(small).encode() == first
    (other / "using.html").write_bytes(b"other")
    assert offline.worker(other).encode() != first


def test_the_worker_lists_what_readers_need(demo):
    """Every page, data file, picture, style, script and the search index with the hash of its
    content; no file for developers."""
    text = (demo.site / "sw.js").read_text(encoding="utf-8")
    found = demo.files()
    listed = json.loads(re.search(r"LIST = (\{.*?\});", text, re.S)[1])
    assert set(listed) >= {f"{page}.html" for page in PAGES} | {
        f"data/procedures/{name}.json"
        for name in SHEETS} | {f"data/meters/{name}.json" for name in METERS}
    assert set(listed) >= {"search/search_index.json", "assets/bench.css",
                           "assets/offline.js"} | {
                               name for name in found if name.startswith("pictures/")}
    assert all(listed[name] == hashlib.sha256(found[name]).hexdigest()[:12] for name in listed)
    assert not [name for name in listed if name.endswith(".map") or "lunr" in name
                or name == "sw.js"]
    assert f"{len(listed)} files, {sum(len(found[name]) for name in listed)} bytes" in text


def test_the_search_of_another_language_is_kept_whole(small):
    """What the search loads for its languages is listed, and no other."""
    index = small / "search/search_index.json"
    index.write_text(json.dumps({"config": {"lang": ["en", "de"]}, "docs": []}), encoding="utf-8")
    assert {name.split("/")[-1] for name in offline.files(small) if "lunr"
            in name} == {"lunr.de.min.js", "lunr.multi.min.js", "lunr.stemmer.support.min.js"}


def test_while_serving_there_is_no_worker(project):
    """The pages of `mkdocs serve` come with a script that takes old copies away, and without a
    worker."""
    made = project().write(**SMALL).build(serving=True)
    assert "sw.js" not in made.files()
    assert "serving = true" in (made.site / "assets/offline.js").read_text(encoding="utf-8")
    assert [script["src"] for script in made.page("using").all("script")
            if "offline" in (script["src"] or "")] == ["assets/offline.js"]


ASSETS = sorted((page_text.HERE / "assets").glob("*.*"))
SCRIPTS = [path for path in ASSETS if path.suffix == ".js" and path.name != offline.WORKER]
STYLES = [path for path in ASSETS if path.suffix == ".css"]


@pytest.fixture(scope="module")
def empty(browser):
    """A page without anything."""
    page = browser.new_page()
    yield page
    page.close()


@pytest.mark.browser
@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_a_script_as_served_is_one(empty, path):
    """Chromium reads it as a script, and it is shorter than what was written."""
    served = page_text.lean(path.name)
    empty.evaluate("text => { new Function(text) }", served)
    assert len(served) < len(path.read_text(encoding="utf-8"))


@pytest.mark.browser
@pytest.mark.parametrize("path", STYLES, ids=lambda path: path.name)
def test_a_style_as_served_says_what_was_written(empty, path):
    """Chromium reads the same rules from both."""
    written, served = empty.evaluate(
        """texts => texts.map(text => {
          const sheet = new CSSStyleSheet();
          sheet.replaceSync(text);
          return [...sheet.cssRules].map(rule => rule.cssText);
        })""", [path.read_text(encoding="utf-8"), page_text.lean(path.name)])
    assert written == served != []


def test_only_a_sheet_goes_without_the_search(demo):
    """Its head has no search, and every other page has it."""
    for page in PAGES:
        assert len(demo.page(page).all("div.md-search")) == (
            not page.startswith("procedures/")), page


def test_export_has_no_worker(tmp_path):
    """Pages for another engine come without the script, and name no worker that isn't there."""
    assert offline.SCRIPT not in render.render(
        shop.load(tmp_path, SMALL["meter"], SMALL["plan"], SMALL["standard"])).files


# ---------------------------------------------------------------- in a browser

@pytest.mark.browser
def test_after_one_visit_every_page_opens_without_a_network(tab, host, demo):
    """One look at one page, then aeroplane mode: every page, its style, its pictures, the data and
    the search are there, each page says from when its copy is, in local time, and on paper it says
    nothing. No other host is asked for anything."""
    at, failed, asked = host(demo.site), [], []
    page = tab(**WORKER, timezone_id="Pacific/Kiritimati", locale="en")
    page.context.on("request", lambda request: asked.append(request.url))
    visit(page, at, f"{SHEET}.html")
    page.on("pageerror", lambda error: failed.append(str(error)))
    at.down = True
    assert page.evaluate(
        "names => Promise.all(names.map(name => fetch(name + '.html').then(answer => "
        "answer.status)))", [at.home + name for name in PAGES]) == [200] * len(PAGES)
    for name in {name.split("/")[0]: name for name in PAGES}.values():
        page.goto(f"{at.home}{name}.html")
        assert page.locator("article h1").is_visible(), name
        assert COPY.match(status(page)), name
        assert page.evaluate(
            "[...document.styleSheets].every(sheet => sheet.cssRules.length) && "
            "[...document.images].every(one => one.naturalWidth)"), name
        assert page.evaluate(
            "getComputedStyle(document.querySelector('.md-header')).position") == "sticky", name
    # on Kiritimati it is UTC + 14 h
    written = datetime.strptime(COPY.match(status(page))[1], "%Y-%m-%d %H:%M")
    assert timedelta(0) <= datetime.now(UTC).replace(tzinfo=None) + timedelta(
        hours=14) - written < timedelta(minutes=3)
    assert page.evaluate("name => fetch(name).then(answer => answer.json())",
                         f"{at.home}data/{SHEET}.json")["procedure"] == SHEET.split("/")[1]
    page.locator(".md-search__input").press_sequentially("voltage")
    page.locator(".md-search-result__link").first.wait_for(state="attached")
    page.emulate_media(media="print")
    assert not page.locator("p.copy").is_visible()
    assert failed == []
    assert [one for one in asked if not one.startswith((at.home, "data:", "blob:"))] == []
    assert len(asked) > len(PAGES)


@pytest.mark.browser
def test_an_address_that_leads_nowhere_says_so_without_a_network(tab, host, small):
    """The host's answer while there is one; then the kept page, with what else there is; and what
    stands nowhere is not kept."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    page.goto(at.home + "reports/no-such.html")
    assert "not here" in page.content()
    at.down = True
    answer = page.goto(at.home + "reports/no-such.html")
    assert answer.status == 404 and "No page has this address" in page.locator("h1").inner_text()
    assert page.locator("article a.tap").count() > 5
    assert "reports/no-such.html" not in kept(page, at)


@pytest.mark.browser
def test_a_new_revision_is_seen_while_there_is_a_network(tab, host, small):
    """Though a copy is kept, and though the host lets browsers use what they have, a page comes as
    the host has it now, and later without a network as it was last seen."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    page.goto(at.home + "using.html")
    change(small)
    page.goto(at.home + "using.html")
    assert page.locator("p.revised").is_visible()
    assert page.locator("p.copy:not(:empty)").count() == 0
    at.down = True
    page.goto(at.home + "using.html")
    assert page.locator("p.revised").is_visible()
    assert COPY.match(status(page))


@pytest.mark.browser
def test_an_open_page_offers_its_newer_version_and_keeps_what_was_typed(tab, host, small):
    """The new worker takes over; the page isn't reloaded and says that it may be. A page that
    didn't change says nothing."""
    at = host(small)
    page = visit(tab(**WORKER), at, "using.html")
    other = page.context.new_page()
    other.goto(at.home + "safety.html")
    page.evaluate(
        "document.querySelector('article').insertAdjacentHTML('beforeend', '<input id=typed>')")
    page.locator("#typed").fill("2.997 V")
    change(small)
    page.bring_to_front()
    page.evaluate("dispatchEvent(new Event('online'))")
    assert status(page) == NEWER
    complete(page, at)
    assert page.locator("#typed").input_value() == "2.997 V"
    assert page.locator("p.revised").count() == 0
    assert other.locator("p.copy:not(:empty)").count() == 0
    page.reload()
    assert page.locator("p.revised").is_visible()
    looked(page)
    assert page.locator("p.copy:not(:empty)").count() == 0


@pytest.mark.browser
def test_only_what_changed_is_fetched_again_and_old_copies_go(tab, host, small):
    """A new version fetches the files that changed; what it no longer has is removed once it is
    complete, not before."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    change(small)
    (small / "extra.html").write_text(
        "<!doctype html><title>Extra</title><article><h1>Extra</h1></article>", encoding="utf-8")
    (small / "safety.html").unlink()
    offline.write(small)
    at.asked.clear()
    at.hangs = "extra"
    page.goto(at.home)
    until(lambda: "using.html" in kept(page, at, "ahead"))
    assert "safety.html" in kept(page, at)
    at.hangs = None
    at.let_go.set()
    complete(page, at)
    asked = {name for name, status, _ in at.asked if status == 200 and name}
    assert asked == {"sw.js", "using.html", "extra.html"}
    assert "extra.html" in kept(page, at) and "safety.html" not in kept(page, at)
    assert page.evaluate("caches.keys()") == ["bench-1-kept /"]


@pytest.mark.browser
def test_a_half_finished_fetch_goes_on_at_the_next_visit(tab, host, small):
    """What was fetched before the network went is not fetched again; until then, pages of the half
    are read."""
    at = host(small)
    page = tab(**WORKER)
    at.breaks = r"^(search|safety)"
    page.goto(at.home)
    until(lambda: "using.html" in kept(page, at, "ahead"))
    looked(page)
    first = kept(page, at, "ahead")
    assert "safety.html" not in first and "sw.js?complete" not in kept(page, at)
    at.down = True
    page.goto(at.home + "by-meter.html")
    assert COPY.match(status(page))
    page.goto(at.home + "safety.html")
    assert "No copy of this page is kept here yet" in page.locator("p[role=status]").inner_text()
    at.down, at.breaks = False, None
    at.asked.clear()
    visit(page, at)
    again = {name for name, status, _ in at.asked if status == 200}
    assert again >= {"safety.html", "search/search_index.json"}
    assert not again & {name for name in first if name.endswith(".html")}


@pytest.mark.browser
def test_when_the_network_hangs_the_copy_comes(tab, host, small):
    """After three to four seconds of silence; when the answer comes after all, the page says
    whether it is newer."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    change(small)
    at.hangs = "."
    began = time.monotonic()
    page.goto(at.home + "using.html")
    assert 3 < time.monotonic() - began < 8
    assert COPY.match(status(page))
    at.hangs = None
    at.let_go.set()
    until(lambda: status(page) == NEWER)
    assert page.locator("p.revised").count() == 0


@pytest.mark.browser
def test_when_the_network_returns_the_line_goes(tab, host, small):
    """A copy that turns out to be the newest version needs no line."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    at.down = True
    page.goto(at.home + "using.html")
    assert COPY.match(status(page))
    at.down = False
    page.evaluate("dispatchEvent(new Event('online'))")
    page.locator("article > p.copy:empty").wait_for(state="attached")


@pytest.mark.browser
def test_a_server_that_fails_does_not_take_the_page_away(tab, host, small):
    """The copy comes, and says why; an address that is gone is gone."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    at.breaks = "using"
    page.goto(at.home + "using.html")
    assert status(page).startswith("The server fails: this copy is from 20")
    (small / "safety.html").unlink()
    assert page.goto(at.home + "safety.html").status == 404


@pytest.mark.browser
@pytest.mark.parametrize("pretty, below", [
    ("", "/"), pytest.param("/", "/", marks=pytest.mark.long), (None, "/sub/p%C3%A4th/")])
def test_hosts_differ(tab, host, small, pretty, below):
    """Addresses without .html or with '/' in its place, sub-paths, queries and fragments: online
    and off, and beside another site of the same host."""
    at = host(small, below=unquote(below))
    at.home, at.pretty = at.home.replace(unquote(below), below), pretty
    page = visit(tab(**WORKER), at)
    for down in (False, True):
        at.down = down
        sheet, using = "procedures/lapwing-yearly", "How to use a sheet"
        addresses = ({"": "Meter verification", "index.html?a=b": "Meter verification",
                      "using.html?a=b#when-a-point-fails": using} if down
                     else {f"{sheet}.html": "Lapwing"})
        addresses |= ({f"using{pretty}?a=b": using, f"{sheet}{pretty}?c": "Lapwing"}
                      if pretty is not None else {})
        for address, title in addresses.items():
            page.goto(at.home + address)
            assert page.locator("article h1").inner_text().startswith(title), (down, address)
            assert page.evaluate(
                "getComputedStyle(document.querySelector('.md-header')).position") == "sticky", (
                    down, address)
            assert page.url.endswith(re.search(r"[?#].*|$", address)[0]), (down, address)
            assert COPY.match(status(page)) if down else not page.locator("p.copy").count(), (
                down, address)
        page.locator("header a.sign-of").click()
        assert page.locator("article h1").inner_text().startswith("Meter verification")
    assert page.evaluate(
        "navigator.serviceWorker.getRegistrations().then(all => all.map(one => one.scope))") == [
            at.home]


@pytest.mark.browser
def test_a_page_that_moved_leads_to_its_new_place(tab, host, small):
    """A redirect to another page of the site is followed by the browser, address and all."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    find = at.find
    at.find = lambda address, name, headers: (302, {"Location": "/safety.html"},
                                              b"") if name == "using.html" else find(
                                                  address, name, headers)
    page.goto(at.home + "using.html")
    assert page.url == at.home + "safety.html"


@pytest.mark.browser
def test_a_sign_in_elsewhere_is_reached(tab, host, small, tmp_path):
    """A host that sends readers to another address to sign in isn't taken for a network that
    fails."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    (tmp_path / "door").mkdir()
    (tmp_path / "door/index.html").write_text(
        "<!doctype html><title>Sign in</title><h1>Sign in</h1>", encoding="utf-8")
    door, find = host(tmp_path / "door"), at.find
    at.find = lambda address, name, headers: (302, {"Location": door.home},
                                              b"") if name == "using.html" else find(
                                                  address, name, headers)
    page.goto(at.home + "using.html")
    assert page.url == door.home


@pytest.mark.browser
def test_while_serving_an_old_worker_goes(tab, host, small, project):
    """Where a built site was looked at before, `mkdocs serve` on the same port takes its worker and
    its copies away."""
    at = host(small)
    page = visit(tab(**WORKER), at)
    at.folder = project().write(**SMALL).build(serving=True).site
    page.goto(at.home + "using.html")
    until(
        lambda: page.evaluate(
            "async () => !(await navigator.serviceWorker.getRegistrations()).length && !(await "
            "caches.keys()).length"))


@pytest.mark.browser
def test_as_a_file_a_page_logs_no_error(tab, demo):
    """Nothing is registered, nothing fails, and the page on using a sheet says what a file can't
    do."""
    page, said = tab(**WORKER), []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    for name in ("index", "using", SHEET):
        page.goto((demo.site / f"{name}.html").as_uri())
        page.evaluate("() => new Promise(requestIdleCallback)")
        assert page.locator("p.copy").count() == 0
    assert said == []


@pytest.mark.browser
def test_the_first_view_of_a_sheet_is_small(tab, host, demo):
    """All that the first view of the largest sheet asks for is at most 120 kB on the way, and a
    look at a sheet that is kept at most 15 kB."""
    at = host(demo.site)
    first = tab()
    first.goto(f"{at.home}{SHEET}.html")
    first.wait_for_selector("body.bench-on")    # however slow the machine: all its scripts ran
    asked = -1
    while asked < (asked := len(at.asked)):
        first.wait_for_timeout(500)
    if not any(name == ICON for name, *_ in at.asked):    # a browser without a window needs none
        first.evaluate("name => fetch(name).then(answer => answer.text())", at.home + ICON)
    sizes = {name: size for name, _, size in at.asked}
    print("\nfirst view:", sum(sizes.values()), sizes)
    assert f"{SHEET}.html" in sizes and "assets/sheet.js" in sizes and sum(
        sizes.values()) <= 120_000

    page = visit(tab(**WORKER), at)
    print("worker:", dict((name, size) for name, _, size in at.asked)["sw.js"])
    for name in SHEETS:
        at.asked.clear()
        page.goto(f"{at.home}procedures/{name}.html")
        page.wait_for_timeout(300)
        print(name, at.asked)
        assert sum(size for _, _, size in at.asked) <= 15_000
