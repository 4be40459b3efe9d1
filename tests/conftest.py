"""One setting for all generated tests (the same examples every time, and no clock), which tests
run when, and what the tests of whole sites share: the demo's site, small projects, Chromium, and a
reader of HTML."""

from __future__ import annotations

import contextlib
import functools
import http.server
import os
import pickle
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from unittest import mock

import jinja2
import pytest
from hypothesis import HealthCheck, settings

from builder.shop import loading
from tests import small_shop as shop

settings.register_profile("steady", derandomize=True, deadline=None, database=None,
                          suppress_health_check=[
                              HealthCheck.too_slow, HealthCheck.data_too_large,
                              HealthCheck.filter_too_much])
settings.register_profile("quick", parent=settings.get_profile("steady"), max_examples=30)
settings.load_profile("steady")

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # the theme would print a notice into every build

ROOT = Path(__file__).resolve().parent.parent
ADDRESS = "https://sheets.example/kittiwake/"

def _stems(folder: Path, suffix: str) -> list[str]:
    return sorted(path.stem for path in folder.glob(f"*{suffix}"))


SHEETS = _stems(ROOT / "procedures/plans", ".yaml")
METERS = _stems(ROOT / "procedures/meters", ".yaml")
LESSONS = [f"lessons/{name}" for name in _stems(ROOT / "site_src/lessons", ".md")]
PAGES = [*_stems(ROOT / "site_src", ".md"), *LESSONS, "by-meter", "by-function", "in-progress",
         "limits", "reports", "together", "checks-between",
         "checks-between/fulmar-10-v", "checks-between/pipit-ice", "published", "formats",
         "formats/meter", "practice",
         "practice/1", "practice/20-answers", "practice/bench",
         *(f"reports/{name}" for name in _stems(ROOT / "procedures/records", ".yaml")),
         *(f"meters/{name}" for name in METERS),
         *(f"standards/{name}" for name in _stems(ROOT / "procedures/standards", ".yaml")),
         *(f"{kind}/{name}" for kind in ("procedures", "evidence") for name in SHEETS)]


def one_of_each(pages: list[str]) -> list[str]:
    """Every page at the site's start, and of each folder the first one and its index."""
    found = {}
    for page in pages:
        folder, _, name = page.rpartition("/")
        found.setdefault((folder, "answers" in name, name == "index") if folder else page, page)
    return list(found.values())


def every_page(*short: str) -> list:
    """All pages for a test to look at one by one, those that are not in `short` in the long form
    only."""
    return [page if page in short else pytest.param(page, marks=pytest.mark.long)
            for page in dict.fromkeys((*PAGES, *short))]


# ---------------------------------------------------------------- the quick run

# What `pytest -m quick` has: by folder, and without what builds the demo's site.
QUICK = ("compute", "procedure", "records", "numbers", "test_arrows.py", "test_mirror.py")
WHOLE_SITES = {"demo", "demo_at_address", "served", "browser", "tab"}


def _is_quick(path: Path) -> bool:
    inside = path.relative_to(ROOT / "tests").parts
    return not inside or inside[0] in QUICK or inside[0] in ("__init__.py", "conftest.py")


def pytest_configure(config: pytest.Config) -> None:
    """Fewer generated cases in a quick run, and in no other; files in their order in every."""
    if config.getoption("markexpr") == "quick":
        settings.load_profile("quick")
    config.option.loadscopereorder = False    # LONGEST is the order, not how many tests a file has
    if (config.getoption("numprocesses", None) and not hasattr(config, "workerinput")
            and os.environ.pop("PYTHONDONTWRITEBYTECODE", None)):
        # Nothing compiled is to stand beside the files: so all processes and programs of this run
        # share it elsewhere, where each would compile the whole tree anew.
        folder = tempfile.TemporaryDirectory(prefix="compiled-")
        os.environ["PYTHONPYCACHEPREFIX"] = folder.name
        config.add_cleanup(folder.cleanup)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """A quick run doesn't even import what it has nothing of: that alone takes ten seconds."""
    if config.getoption("markexpr") != "quick" or ROOT / "tests" not in collection_path.parents:
        return None
    return None if _is_quick(collection_path) else True


@pytest.hookimpl(tryfirst=True)    # before -m chooses
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    for item in items:
        if (_is_quick(item.path) and not WHOLE_SITES & set(getattr(item, "fixturenames", ()))
            and not any(item.get_closest_marker(one)
                        for one in ("browser", "slow", "thorough", "long"))):
            item.add_marker("quick")
    if "long" not in config.getoption("markexpr"):
        _leave_out_the_long_form(config, items)
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: TURN.get(item.path, len(TURN)))


# ---------------------------------------------------------------- the long run

def _leave_out_the_long_form(config: pytest.Config, items: list[pytest.Item]) -> None:
    """What is marked as long runs with `-m long`, or where it or its file is named."""
    named = {(Path(os.path.abspath(path)), test.partition("[")[0])
             for path, _, test in (argument.partition("::") for argument in config.args)}
    stay, left_out = [], []
    for item in items:
        runs = not item.get_closest_marker("long") or named & {(item.path, ""),
                                                               (item.path, item.originalname)}
        (stay if runs else left_out).append(item)
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = stay


# ---------------------------------------------------------------- several processes

def pytest_xdist_auto_num_workers() -> int:
    """Half as many again as processors: a test that drives a browser waits for frames, timers and
    a disk for a third of its time."""
    return len(os.sched_getaffinity(0)) * 3 // 2 if hasattr(os, "sched_getaffinity") else (
        (os.cpu_count() or 2) * 3 // 2)


# What takes longest starts first, so that no processor ends up alone with a long file.
LONGEST = """
    pages/test_render.py pages/test_access.py pages/test_offline.py pages/test_limits_js.py
    pages/test_store_js.py pages/test_sheet_js.py pages/test_paper.py
    practice/test_practice_pages.py pages/test_sheet_js_whole.py pages/test_phone.py
    pages/test_store_js_hostile.py test_cli.py test_fuzz.py pages/test_webkit.py
    pages/test_locked.py pages/test_verdict_js.py first_plan/test_plan_text.py files/test_cache.py
    pages/test_bench_view_js.py pages/test_simulated_bench_js.py lessons/test_tags.py
    pages/test_report_pages.py pages/test_kept_pages.py test_wheel.py drawing/test_connections.py
    procedure/test_evidence.py procedure/test_point_uncertainty.py
    file_rules/test_standards_hostile.py pages/test_widths.py pages/test_live_lock_js.py
    pages/test_ground_js.py compute/exact/test_points_refusals_in_full.py"""
TURN = {ROOT / "tests" / name: n for n, name in enumerate(LONGEST.split())}
assert not [path for path in TURN if not path.is_file()]


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]):
    """What `make` makes in an empty folder of that name and gives back, for all processes of a run:
    the first that asks makes it, the others wait and read it. Nobody may change the folder."""
    base = factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" not in os.environ:
        return make(factory.mktemp(name, numbered=False))
    import fcntl    # no system without it runs several processes here
    folder, kept = base.parent / name, base.parent / f"{name}.pickle"
    with open(base.parent / f"{name}.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)    # let go of as well where a process ends
        if not kept.exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            made = make(folder)
            kept.write_bytes(pickle.dumps(made))
        return pickle.loads(kept.read_bytes())


@functools.cache
def approved_sheets():
    """Of the demo, read once a process."""
    from builder.frozen import approved
    return approved.read_new(ROOT / "procedures")[0]


def shown_revision(data: dict) -> str:
    """How a page of the demo names the revision of its sheet: counted if it is approved."""
    own = approved_sheets().in_force(data["procedure"])
    return (own.shown if own and own.revision == data["revision"]
            else f"DRAFT, revision {data['revision']}")


def needed(found: object, what: str) -> None:
    """Skips the test where something is missing; fails it where nothing may be."""
    if not found:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(f"{what} is not installed here")


# ---------------------------------------------------------------- whole projects

class Compiled(jinja2.BytecodeCache):
    """The engine's templates, compiled once a process: each build has an environment of its own."""

    def __init__(self):
        self.kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket) -> None:
        if bucket.key in self.kept:
            bucket.bytecode_from_string(self.kept[bucket.key])

    def dump_bytecode(self, bucket) -> None:
        self.kept[bucket.key] = bucket.bytecode_to_string()


COMPILED = Compiled()


class Project:
    """A shop: a folder with mkdocs.yml, site_src and procedures, to build in this process or as a
    program. Its lessons are left out, but where it is to `learn` like the demo from its own. What
    this process builds without them has the first three sets of exercises only, or `all_sets`."""

    def __init__(self, root: Path, address: str = "", settings: str = "", learn: bool = False,
                 all_sets: bool = False):
        self.root, self.site, self.all_sets = root, root / "site", all_sets or learn
        if learn:
            shutil.copytree(ROOT / "site_src", root / "site_src")
        else:
            (root / "site_src").mkdir()
            shutil.copy(ROOT / "site_src/index.md", root / "site_src")
        text = re.sub(r"^site_url:.*\n", "", (ROOT / "mkdocs.yml").read_text(encoding="utf-8"),
                      flags=re.M)
        if not learn:
            text = text.replace("  - procedures\n", "  - procedures: {lessons: no}\n")
        text += f"\nsite_url: {address}\n" if address else ""
        (root / "mkdocs.yml").write_text(text + settings, encoding="utf-8")

    @property
    def procedures(self) -> Path:
        return self.root / "procedures"

    def write(self, **files) -> Project:
        """`meter`, `standard`, `plan`: as in tests/small_shop.py, dict or text; others by their
        path below procedures/."""
        short = {"meter": "meters/lapwing-1.yaml", "standard": "standards/petrel.yaml",
                 "plan": "plans/lapwing-yearly.yaml"}
        shop.write(self.procedures,
                   {short.get(name, name): content for name, content in files.items()})
        shop.complete(self.procedures, loading.load_shop(self.procedures))
        return self

    def run(self, *more: str, **variables: str) -> subprocess.CompletedProcess:
        """`mkdocs build` as a program of its own, as the command line does it."""
        return subprocess.run([sys.executable, "-m", "mkdocs", "build", "--site-dir",
                               str(self.site), *more], cwd=self.root,
                              env=os.environ | variables, stdout=subprocess.PIPE,
                              stderr=subprocess.STDOUT, encoding="utf-8", timeout=120)

    def build(self, serving: bool = False) -> Project:
        """In this process, the plugin told that it serves or builds; a build is strict."""
        from mkdocs.commands.build import build
        from mkdocs.config import load_config

        from builder.practice import practice_pages

        config = load_config(str(self.root / "mkdocs.yml"), site_dir=str(self.site),
                             strict=not serving)
        if serving:  # as `mkdocs serve` does it
            config.site_url = "http://127.0.0.1:8000/"
        new_templates = config.theme.get_env

        def templates():
            made = new_templates()
            made.bytecode_cache = COMPILED
            return made
        config.theme.get_env = templates
        config.plugins.on_startup(command="serve" if serving else "build", dirty=False)
        sets = practice_pages.SEEDS[:None if self.all_sets else 3]
        try:
            with mock.patch.object(practice_pages, "SEEDS", sets):
                build(config)
        finally:
            config.plugins.on_shutdown()
        return self

    def page(self, name: str) -> Element:
        return parse((self.site / f"{name}.html").read_text(encoding="utf-8"))

    def files(self) -> dict[str, bytes]:
        return files_in(self.site)


def files_in(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes()
            for path in sorted(folder.rglob("*")) if path.is_file()}


def forget_plugins() -> None:
    """MkDocs keeps plugins that serve for the life of the process: every project starts with new
    ones."""
    from mkdocs.config.defaults import MkDocsConfig
    dict(MkDocsConfig._schema)["plugins"].plugin_cache.clear()


@pytest.fixture(scope="session")
def lasting_project(tmp_path_factory):
    """Makes a small whole project that several tests may look at."""
    def make(**more) -> Project:
        forget_plugins()
        return Project(tmp_path_factory.mktemp("project"), **more)
    return make


@pytest.fixture
def project(lasting_project):
    """Makes a small whole project: `project().write(meter=…, standard=…, plan=…)`."""
    yield lasting_project
    forget_plugins()


# What a demo goes without whose meters and plans alone are asked for.
YEARS = shutil.ignore_patterns("records", "approved", "finished", "past", "register.yaml")


def _demo(folder: Path, without=None, **more) -> Project:
    demo = Project(folder, learn=True, **more)
    shutil.copytree(ROOT / "procedures", demo.procedures, ignore=without)
    return demo


def build_strictly(project: Project, **variables: str) -> str:
    done = project.run("--strict", **variables)
    assert done.returncode == 0, done.stdout
    return done.stdout


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Project:
    """The real tree's site, built once as a program, without a site address; `demo.said` is what
    the build said. To be read only: all processes share it."""
    def make(folder: Path) -> Project:
        made = _demo(folder)
        made.said = build_strictly(made)
        return made
    return made_once(tmp_path_factory, "demo", make)


@pytest.fixture(scope="session")
def demo_at_address(tmp_path_factory) -> Project:
    """The same with a site address, so with codes to scan."""
    def make(folder: Path) -> Project:
        made = _demo(folder, address=ADDRESS)
        # A fixed day, and the plainest of locales.
        made.variables = {"SOURCE_DATE_EPOCH": "1760000000", "TZ": "Pacific/Kiritimati",
                          "PYTHONHASHSEED": "1",
                          "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
        made.said = build_strictly(made, **made.variables)
        return made
    return made_once(tmp_path_factory, "demo-at-address", make)


@pytest.fixture(scope="session")
def served(demo):
    """The demo's site on a local server; its address."""
    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_):
            pass

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0),
                                         functools.partial(
                                             Quiet, directory=str(demo.site))) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()
        thread.join()


# ---------------------------------------------------------------- Chromium

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]


WORKER = {"service_workers": "allow"}


def chromium() -> str | None:
    """Debian's form of it without a desktop's windows comes first: it takes half the time."""
    return next((found for name in ("chromium-headless-shell", "chromium", "chromium-browser",
                                    "google-chrome") if (found := shutil.which(name))), None)


@pytest.fixture(scope="session")
def demo_shop():
    """The demo's folder, read and computed once a process. Nobody may change it."""
    return loading.load_shop(ROOT / "procedures")


def wait_for_function(page, expression: str, *, arg=None, timeout: float = 30_000) -> None:
    """In the place of Playwright's own, which has the page evaluate the text: that is what the
    policy of every page refuses."""
    from playwright.sync_api import TimeoutError as TooLate
    end = time.monotonic() + timeout / 1000
    asked = f"""async arg => {{ const made = ({expression});
      return !!await (typeof made === "function" ? made(arg) : made) }}"""
    while not page.evaluate(asked, arg):
        if time.monotonic() > end:
            raise TooLate(f"never: {expression}")
        page.wait_for_timeout(20)


class Calm:
    """A browser whose pages are told to move nothing by themselves unless a test asks for MOVING:
    so all of a sheet is laid out at once, and what it says can be read anywhere in it."""

    def __init__(self, browser):
        self.browser = browser

    def __getattr__(self, name: str):
        return getattr(self.browser, name)

    def new_context(self, **more):
        return self.browser.new_context(**{"reduced_motion": "reduce"} | more)

    def new_page(self, **more):
        return self.browser.new_page(**{"reduced_motion": "reduce"} | more)


MOVING = {"reduced_motion": "no-preference"}


@pytest.fixture(scope="session")
def browser():
    """One Chromium for all tests, the machine's own."""
    path = chromium()
    needed(path, "Chromium")
    from playwright.sync_api import Page, sync_playwright
    Page.wait_for_function = wait_for_function
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield Calm(browser)
        browser.close()


@pytest.fixture
def tab(browser):
    """Opens a tab with its own settings; all are closed after the test, which fails if a page's
    content security policy refused anything (`may_refuse`: it may). The worker, which would
    fetch the whole site into each, only comes where a test asks for it (WORKER)."""
    told: list[str] = []

    def listen(said) -> None:
        if "Content Security Policy" in said.text:
            told.append(said.text)

    with contextlib.ExitStack() as stack:
        def open_tab(may_refuse: bool = False, **context):
            made = browser.new_context(**{"service_workers": "block"} | context)
            stack.callback(made.close)
            if not may_refuse:
                made.on("console", listen)
            return made.new_page()
        yield open_tab
    assert told == []


# ---------------------------------------------------------------- HTML

_VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source",
         "track", "wbr"}


class Element:
    """An element of a page, with just what the tests ask for."""

    def __init__(self, tag: str, attributes: dict[str, str | None],
                 parent: Element | None = None):
        self.tag, self.attributes, self.parent = tag, attributes, parent
        self.children: list[Element | str] = []

    def __getitem__(self, name: str) -> str | None:
        return self.attributes.get(name)

    @property
    def classes(self) -> list[str]:
        return (self["class"] or "").split()

    @property
    def text(self) -> str:
        """All text inside, white space as a browser shows it, without scripts and styles."""
        return " ".join("".join(self._pieces()).split())

    def _pieces(self):
        for child in self.children:
            if isinstance(child, str):
                yield child
            elif child.tag not in ("script", "style"):
                yield from child._pieces()

    @property
    def raw(self) -> str:
        """The text of a script or a style."""
        return "".join(child for child in self.children if isinstance(child, str))

    def all(self, selector: str = "") -> list[Element]:
        """Every element inside that fits `tag.class`, either part optional."""
        tag, _, name = selector.partition(".")
        found = []
        for child in self.children:
            if isinstance(child, Element):
                if (not tag or child.tag == tag) and (not name or name in child.classes):
                    found.append(child)
                found += child.all(selector)
        return found

    def one(self, selector: str) -> Element:
        (found,) = self.all(selector)
        return found

    def by_id(self, name: str) -> Element:
        (found,) = [element for element in self.all() if element["id"] == name]
        return found


class _Reader(HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.root = self.here = Element("", {})

    def handle_starttag(self, tag, attrs):
        element = Element(tag, dict(attrs), self.here)
        self.here.children.append(element)
        if tag not in _VOID:
            self.here = element

    def handle_startendtag(self, tag, attrs):
        self.here.children.append(Element(tag, dict(attrs), self.here))

    def handle_endtag(self, tag):
        opened = self.here
        while opened.parent and opened.tag != tag:
            opened = opened.parent
        if opened.parent:
            self.here = opened.parent

    def handle_data(self, data):
        self.here.children.append(data)


def parse(html: str) -> Element:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.root
