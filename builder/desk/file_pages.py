"""The desk's pages about the files that a shop writes itself: a list of them, forms, texts, and
first files."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from builder.desk import completing, forms, inside, shop_files, texts
from builder.desk.guard import BoundedRequest
from builder.desk.shop_files import Looked, ShopFile
from builder.files.problems import ERROR, Wrong
from builder.first_plan import meter_kinds, meter_skeleton, plan_text

if TYPE_CHECKING:
    from builder.desk.app import Desk

CHANGED = ("This file has changed since you opened it. Nothing was written. Open it again; what "
           "you typed stands here until you leave.")
FAULTY = "Nothing was written, for what would be wrong:"
FOLLOWS = "Nothing was written yet: other files would no longer be right."


class FilePages:
    """Those of one desk."""

    def __init__(self, desk: Desk):
        self.desk, self.root = desk, desk.root
        self.pages = {"files": self.files, "values": self.values, "text": self.text,
                      "beside": self.beside, "fits": self.fits, "new-meter": self.new_meter,
                      "draft": self.draft}

    def files(self, request: BoundedRequest, code: int = 200, notice: str = ""):
        """All of them, and what writes a first one."""
        shop, known = self.desk.shop(), shop_files.names(self.root)
        called = {f"standards/{name}": (one.name, f"Certificate {one.certificate}, due {one.due}")
                  for name, one in shop.standards.items()}
        called |= {f"meters/{name}": (one.name, name) for name, one in shop.meters.items()}
        called |= {f"plans/{name}": (one.title, name) for name, one in shop.procedures.items()}
        return self.desk.page("desk-files.html.j2", "Files", code, names=known, notice=notice,
                              kinds=meter_kinds.KINDS, typed=request.form, called=called)

    # ------------------------------------------------------------ forms

    def values(self, request: BoundedRequest):
        """The values of a file, or of one entry of the register, as a form."""
        file = shop_files.opened(self.root, _asked(request, "file"))
        entry = int(entry) if (entry := _asked(request, "entry")).isdecimal() else None
        if file.kind not in ("register", "standard"):
            raise Wrong(f"{file.shown} is written as text")
        if entry is not None and (file.kind != "register" or entry > len(forms.entries(file))):
            raise Wrong(f"{file.shown} has no such line")
        if request.method == "GET":
            return self._form(file, entry)
        if request.form.get("seen") != file.seen:
            return self._form(file, entry, 409, "This file has changed since you opened it. "
                              "Nothing was written. It is shown as it is now.", request.form)
        try:
            raw = file.as_bytes(forms.typed_into(file, entry, request.form))
        except Wrong as wrong:
            return self._form(file, entry, 409, "Nothing was written. "
                              + inside.sentences(wrong), request.form)
        looked = shop_files.looked_at(self.desk.shop, file, raw)
        if looked.worse or looked.elsewhere and "anyway" not in request.form:
            return self._form(file, entry, 409, FAULTY if looked.worse else FOLLOWS, request.form,
                              looked)
        done = shop_files.save(self.root, file, raw)
        return self._form(shop_files.opened(self.root, file.name), entry, notice=done,
                          looked=looked)

    def _form(self, file: ShopFile, entry: int | None, code: int = 200, notice: str = "",
              typed: Any = None, looked: Looked | None = None):
        listed = forms.entries(file) if file.kind == "register" else []
        context = {"file": file, "entry": entry, "notice": notice, "typed": typed or {},
                   "looked": looked, "lines": shop_files.lines, "entries": listed,
                   "form": None, "fresh": None}
        if file.kind == "register" and entry == len(listed):
            context["fresh"] = forms.new_entry(file)
        elif file.kind != "register" or entry is not None and entry < len(listed):
            context["form"] = forms.form(file, entry)
        return self.desk.page("desk-values.html.j2", file.shown, code, **context)

    # ------------------------------------------------------------ texts

    def text(self, request: BoundedRequest):
        """A file as text, with what comes of it beside."""
        file = shop_files.opened(self.root, _asked(request, "file"))
        if request.method == "GET":
            return self._text(file, file.text)
        text = request.form.get("text", "")
        raw = file.as_bytes(file.with_its_line_ends(text))
        if request.form.get("seen") != file.seen:
            return self._text(file, text, 409, CHANGED, seen=request.form.get("seen", ""))
        looked = shop_files.looked_at(self.desk.shop, file, raw)
        wrong = [one for one in looked.own if one.severity == ERROR]
        if request.form.get("do") == "look":
            return self._text(file, text, looked=looked)
        if (wrong or looked.elsewhere) and request.form.get("do") != "anyway":
            return self._text(file, text, 409, "Nothing was written yet: read what would be wrong.",
                              looked=looked, anyway=True)
        done = shop_files.save(self.root, file, raw)
        return self._text(shop_files.opened(self.root, file.name), text, notice=done,
                          looked=looked)

    def _text(self, file: ShopFile, text: str, code: int = 200, notice: str = "",
              looked: Looked | None = None, anyway: bool = False, seen: str = ""):
        looked = looked or shop_files.looked_at(self.desk.shop, file, file.as_bytes(
            file.with_its_line_ends(text)))
        return self.desk.page("desk-text.html.j2", file.shown, code, file=file, text=text,
                              notice=notice, anyway=anyway, seen=seen or file.seen,
                              unsaved=file.with_its_line_ends(text)
                              != file.with_its_line_ends(file.text),
                              **_beside(file, looked))

    def beside(self, request: BoundedRequest):
        """What comes of a text as it is typed: problems, limits, pictures."""
        file = shop_files.opened(self.root, _asked(request, "file"))
        looked = shop_files.looked_at(self.desk.shop, file, file.as_bytes(
            file.with_its_line_ends(request.form.get("text", ""))))
        return self.desk.part("desk-beside.html.j2", **_beside(file, looked))

    def fits(self, request: BoundedRequest):
        """What may stand at the cursor, as JSON."""
        file = shop_files.opened(self.root, _asked(request, "file"))
        before, after = (request.form.get(name, "") for name in ("before", "after"))
        fits = completing.fitting(file.kind, before, after, shop_files.names(self.root))
        return self.desk.plain(json.dumps({"words": fits.words, "typed": fits.typed,
                                           "says": fits.says}), "application/json")

    # ------------------------------------------------------------ first files

    def new_meter(self, request: BoundedRequest):
        """A meter's file to fill in, as the command writes it."""
        if request.method != "POST":
            return self.desk.to("files")
        inside.folder(self.root, "procedures/meters")
        name, kind = _asked(request, "name").strip(), _asked(request, "kind")
        if kind not in meter_kinds.KINDS:
            raise Wrong("which kind of meter is it?")
        return self._first(request, lambda: meter_skeleton.write(
            self.desk.procedures, name, kind), f"meters/{name}")

    def draft(self, request: BoundedRequest):
        """A first plan for a meter, as the command writes it."""
        if request.method != "POST":
            return self.desk.to("files")
        inside.folder(self.root, "procedures/plans")
        meter, first = _asked(request, "meter"), _asked(request, "first")
        used = dict.fromkeys(filter(None, [first, *request.form.getlist("standard")]))
        if not used:
            return self.files(request, 409, "Choose at least one standard.")
        return self._first(request, lambda: plan_text.draft(self.desk.procedures, meter, *used),
                           "")

    def _first(self, request: BoundedRequest, write: Callable, name: str):
        try:
            written, _ = write()
        except Wrong as wrong:
            return self.files(request, 409, "Nothing was written. " + inside.sentences(wrong))
        name = name or written.partition(".yaml")[0].partition("/")[2]
        return self.desk.to(f"text?file={name}")


def _asked(request: BoundedRequest, name: str) -> str:
    return str((request.form if request.method == "POST" else request.args).get(name, ""))[:200]


def _beside(file: ShopFile, looked: Looked) -> dict[str, Any]:
    name = file.name.rpartition("/")[2]
    return {"problems": looked.own, "elsewhere": looked.elsewhere, "kind": file.kind,
            "limits": texts.lines(looked.shop, file.kind, name),
            "pictures": texts.pictures(looked.shop, file.kind, name)}
