"""The desk as a WSGI application around the site's: every request passes the guard; what lies
below desk/ is answered here, the rest by the site."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from urllib.parse import urlencode

from markupsafe import Markup
from werkzeug.datastructures import FileStorage
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge
from werkzeug.test import run_wsgi_app
from werkzeug.utils import redirect
from werkzeug.wrappers import Response

from builder.desk import guard, inside, labels, shell, taking_in, today, typed_in
from builder.desk.file_pages import FilePages
from builder.desk.guard import BoundedRequest
from builder.desk.proposals import ACTS, Act, ToDecide, Words, in_use
from builder.desk.shell import Shell
from builder.files import yaml_text
from builder.files.cache import Cache
from builder.files.problems import Wrong, as_text
from builder.own_shop import checking
from builder.pages import page_styles, report_pages, settings
from builder.pages.page_styles import looks_of_report
from builder.pages.page_text import page_from
from builder.shop import deciding, loading
from builder.shop.contents import Shop

HERE = Path(__file__).parent
App = Callable[[dict, Callable], Iterable[bytes]]


def around(root: Path) -> Callable[[App, str], App]:
    """What puts the desk of the shop in `root` around the application that serves its site below a
    path."""
    return lambda site, mount: Desk(root, site, mount)


class Desk:
    """One start of it."""

    def __init__(self, root: Path, site: App, mount: str = "/"):
        self.root, self.procedures, self.site, self.mount = root, root / "procedures", site, mount
        self.path = f"{mount}desk/"
        self.shell, self.token = Shell(site, mount), guard.Token()
        self.writing, self._reading = threading.Lock(), threading.Lock()
        self._kept, self._tried = Cache(), Cache()
        self.pages: dict[str, Callable[[BoundedRequest], Response]] = {
            "": self.today, "open": self.open, "problems": self.problems, "inbox": self.inbox,
            "desk.css": self.asset, "save.js": self.asset, "text.js": self.asset,
            "record": self.record, "print": self.print, **FilePages(self).pages}

    def __call__(self, environ: dict, start_response: Callable) -> Iterable[bytes]:
        if refused := guard.foreign(environ):
            return guard.refusal(refused)(environ, start_response)
        path = environ.get("PATH_INFO", "")
        if not f"{path}/".startswith(self.path):
            return (self.sheet(environ, start_response)
                    if path.startswith(f"{self.mount}procedures/") and path.endswith(".html")
                    else self.site(environ, start_response))
        answer = self.answer(BoundedRequest(environ), path[len(self.path):])
        answer.headers.update(guard.HEADERS)
        return answer(environ, start_response)

    def sheet(self, environ: dict, start_response: Callable) -> Iterable[bytes]:
        """A sheet of the site with the desk's script, by which paper is typed in."""
        parts, status, headers = run_wsgi_app(self.site, environ, buffered=True)
        html = b"".join(parts).decode("utf-8", "replace")
        if status.startswith("200"):
            html = shell.with_script(html, f"{self.path}save.js", desk=self.path,
                                     token=self.token.text)
        answer = Response(html, status, [(name, text) for name, text in headers.items()
                                         if name != "Content-Length"])
        answer.headers.update(guard.HEADERS)
        return answer(environ, start_response)

    def answer(self, request: BoundedRequest, name: str) -> Response:
        """The page of that name; a refusal, or what went wrong in a sentence."""
        page = self.pages.get(name) or (self.act if name in ACTS else None)
        if page is None:
            return self.said("No such page", "The desk has no page of that name.", code=404)
        try:
            if request.method == "GET":
                return page(request)
            if request.method != "POST":
                return guard.refusal("Only GET and POST are answered.", 405)
            if refused := guard.foreign_writer(request):
                return guard.refusal(refused)
            if not self.token.is_in(request.form):
                return self.said("This page is too old", "It is from before the desk was started "
                                 "last, or of another site. Nothing was written. Open it again.",
                                 code=403)
            with self.writing, deciding.alone(self.procedures):
                return page(request)
        except RequestEntityTooLarge:
            return guard.refusal("More than a form of the desk holds: nothing was taken in.", 413)
        except HTTPException as error:
            return guard.refusal(error.description or "It can't be read.", error.code or 400)
        except Wrong as wrong:
            return self.said("It can’t be done", wrong.sentence, wrong.hint, code=409)
        except OSError as error:
            where = error.filename2 or error.filename or "The work stopped"
            return self.said("It can’t be written", f"{where}: {error.strerror or error}", code=500)

    # ------------------------------------------------------------ what pages have in common

    def shop(self, path: Path | None = None, raw: bytes = b"") -> Shop:
        """The shop as it is now, on today's day, with all that `check` says; or as if `raw` were in
        the file at `path`."""
        with self._reading, yaml_text.as_if(path, raw):
            return checking.checked(self.procedures, self._tried if path else self._kept,
                                    date.today())

    def to(self, page: str) -> Response:
        """To another page of the desk."""
        return redirect(self.path + page, 303)

    def part(self, template: str, **context) -> Response:
        """What stands in a page that is shown already."""
        return self.plain(page_from(template, **context), "text/html")

    def plain(self, text: str, kind: str, code: int = 200) -> Response:
        return Response(text, code, content_type=f"{kind}; charset=utf-8")

    def page(self, template: str, title: str, code: int = 200, **context) -> Response:
        content = page_from(template, title=title, start=self.mount, desk=self.path,
                            token=self.token.text, **context)
        style = str(context.get("page_style", ""))
        return self.plain(self.shell.around(title, content, style), "text/html", code)

    def said(self, title: str, sentence: str, hint: str = "", code: int = 200) -> Response:
        """A page that only says something."""
        return self.page("desk-said.html.j2", title, code, sentence=sentence, hint=hint,
                         tag="pre" if "\n" in sentence else "p")

    # ------------------------------------------------------------ the pages

    def today(self, request: BoundedRequest) -> Response:
        shop = self.shop()
        waiting = len(taking_in.names(self.root))
        return self.page("desk-today.html.j2", "Today", kinds=today.today(shop, waiting),
                         day=shop.as_of)

    def open(self, request: BoundedRequest) -> Response:
        """To the sheet of a serial number, filled in; a choice where there are several."""
        serial = request.args.get("serial", "")[:100]
        if not serial.strip():
            return self.to("")
        meant = today.opening(self.shop(), serial, from_paper="paper" in request.args)
        if meant.known and len(meant.sheets) == 1:
            return redirect(self.mount + meant.sheets[0][1])
        return self.page("desk-open.html.j2", f"Serial no. {meant.serial}", opening=meant)

    def asset(self, request: BoundedRequest) -> Response:
        """The looks of the desk, or what sheets load while it serves them."""
        name = request.path.removeprefix(self.path)
        kind = "css" if name.endswith("css") else "javascript"
        return self.plain((HERE / name).read_text(encoding="utf-8"), f"text/{kind}")

    def record(self, request: BoundedRequest) -> Response:
        """A record from paper, as it is typed: the sentence that its page shows."""
        try:
            said = typed_in.save(self.root, self.shop(), request.form.get("record", ""))
            return self.plain(said, "text/plain")
        except Wrong as wrong:
            return self.plain(inside.sentences(wrong), "text/plain", 409)

    def problems(self, request: BoundedRequest) -> Response:
        """As `check` lists them."""
        return self.said("Problems", as_text(self.shop().problems) or "No file holds mistakes.")

    def act(self, request: BoundedRequest) -> Response:
        """A decision: first what it will freeze, then the deciding."""
        name = request.path.removeprefix(self.path)
        act, writes = ACTS[name], request.method == "POST"
        asked = (request.form if writes else request.args).getlist("name")
        shop = deciding.whole_shop(self.procedures)
        if not asked:
            return (self.page("desk-in-use.html.j2", "In use", proposals=in_use(shop))
                    if name == "withdraw" else self.to(""))
        proposals = act.propose(shop, asked, date.today())
        if not writes:
            return self._shown(name, act, shop, proposals)
        typed = {field: request.form.get(field, "").strip()[:2000] for field in act.fields}
        if request.form.getlist("seen") != [one.seen for one in proposals]:
            return self._shown(name, act, shop, proposals, typed, 409, "This has changed since "
                               "you looked. Nothing was written. This is how it is now.")
        if "" in typed.values():
            return self._shown(name, act, shop, proposals, typed, 409, "Every line is needed.")
        for kept in loading.FROZEN:
            inside.folder(self.root, f"{self.procedures.name}/{kept}")
        try:
            lines = act.perform(shop, proposals, Words(**typed, on=date.today()))
        except Wrong as wrong:
            return self._shown(name, act, shop, proposals, typed, 409,
                               inside.sentences(wrong))
        return self.page("desk-done.html.j2", "Done", lines=lines, proposals=proposals, act=name)

    def _shown(self, name: str, act: Act, shop: Shop, proposals: list[ToDecide],
               typed: dict[str, str] | None = None, code: int = 200, notice: str = "") -> Response:
        listed = shop.workshop.authorised if shop.workshop else []
        asked = [f"{one.name} {one.which}" if name == "withdraw" else one.name
                 for one in proposals]
        return self.page("desk-act.html.j2", act.title, code, name=name, act=act,
                         proposals=list(zip(asked, proposals, strict=True)), typed=typed or {},
                         notice=notice, again=urlencode([("name", one) for one in asked]),
                         names=[one.name for one in listed if not act.may or act.may in one.may],
                         page_style=looks_of_report(f"{act.title}, not decided yet"))

    def print(self, request: BoundedRequest) -> Response:
        """Labels, or the reports in one print, of what was finished on a day; or sheets in one."""
        shop, asked = self.shop(), request.args
        days = labels.days(shop)
        day = asked.get("day", "")
        if day not in days:
            day = days[0] if days else ""
        own = labels.finished_on(shop, day) if day else []
        size, serials = asked.get("size", "medium"), asked.getlist("name")
        what = "sheets" if serials else asked.get("what", "labels")
        parts: list[tuple[str, Markup]] = []
        if what == "sheets":
            parts = [self.shell.sheet(page, serial)
                     for page, serial in today.sheets_to_print(shop, serials)]
        elif what == "reports":
            shown = [report_pages.issued(shop, one) for one in own]
            parts = [(page_styles.plain_foot(one.running),
                      Markup("<h1>{}</h1>\n").format(one.title) + one.body) for one in shown]
        return self.page(
            "desk-print.html.j2", "To print", days=days, day=day, sizes=labels.SIZES, what=what,
            size=size if size in labels.SIZES else "medium", bodies=[body for _, body in parts],
            labels=labels.of_day(shop, own, settings.read(self.root / "mkdocs.yml").address),
            page_style=page_styles.sheet_of_labels() if what == "labels" else Markup("").join([
                looks_of_report(""), *(page_styles.one_of_several(style, n)
                                       for n, (style, _) in enumerate(parts, 1))]))

    def inbox(self, request: BoundedRequest) -> Response:
        """What waits, with what was dropped now; what is new is taken in at the button."""
        lines: list[str] = []
        if request.method == "POST":
            for file in request.files.getlist("file"):
                if file.filename:
                    lines += self._dropped(file)
            lines += self._decided(request) if "do" in request.form else self._taken()
        shop = self.shop()
        return self.page("desk-inbox.html.j2", "Inbox", lines=lines, waiting=[
            taking_in.look(self.root, shop, name) for name in taking_in.names(self.root)])

    def _dropped(self, file: FileStorage) -> list[str]:
        """A line where a file isn't even put into the inbox."""
        try:
            taking_in.put(self.root, file.filename or "", file.read())
            return []
        except Wrong as wrong:
            return [inside.sentences(wrong)]

    def _taken(self) -> list[str]:
        """Each file is looked at beside those that were taken in before it."""
        return list(filter(None, (
            taking_in.take(self.root, taking_in.look(self.root, self.shop(), name))
            for name in taking_in.names(self.root))))

    def _decided(self, request: BoundedRequest) -> list[str]:
        came = taking_in.look(self.root, self.shop(), request.form.get("name", ""))
        if came.seen != request.form.get("seen"):
            return [f"{came.name}, or what it would replace, has changed since you looked: nothing "
                    "was done"]
        replaces = request.form["do"] == "replace"
        return [(taking_in.replace if replaces else taking_in.leave)(self.root, came)]
