"""`python3 -m builder …`: one short function a command. Runs inside the environment that `__main__`
made."""

from __future__ import annotations

import codecs
import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

from builder.files import problems
from builder.formats import schemas
from builder.lessons import tags
from builder.pages import report_files
from builder.pages.export import site_address
from builder.shop import contents, loading, quick_answer

ROOT = Path(__file__).resolve().parent.parent
PROCEDURES = ROOT / "procedures"


def main(argv: list[str]) -> int:
    command, *rest = argv
    for stream in (sys.stdout, sys.stderr):
        # Where the terminal can't show −, Ω or µ, they are spelt out.
        stream.reconfigure(errors="spelt_out")
    return {"build": build, "serve": serve, "test": test, "check": check,
            "limits": limits, "practice": practice, "draft": draft, "blank": blank,
            "report": report, "export": export, "schema": schema}[command](rest)


_SPELT_OUT = {"−": "-", "×": "x", "±": "+/-", "Ω": "Ohm", "µ": "u", "°": "deg", "·": "*",
              "…": "...", "’": "'", "“": '"', "”": '"', "\u00a0": " "}
codecs.register_error("spelt_out",
                      lambda error: (
                          "".join(_SPELT_OUT.get(c, "?")
                                  for c in error.object[error.start:error.end]), error.end))


def _say(text: str) -> None:
    print(text, file=sys.stderr, flush=True)


def _no_arguments(command: str, rest: list[str]) -> bool:
    if rest:
        _say(f"'{command}' takes no arguments, but got: {' '.join(rest)}")
    return not rest


def _mkdocs(*arguments: str) -> int:
    """MkDocs runs as a program of its own, so that this module needs none of it."""
    return subprocess.call([sys.executable, "-m", "mkdocs", *arguments], cwd=ROOT,
                           env={**os.environ, "NO_MKDOCS_2_WARNING": "1"})


def _take_place(new: Path, site: Path, old: Path) -> None:
    """Puts a whole new site in the place of the last one, which stands there until then, whatever
    ends the build."""
    shutil.rmtree(old, ignore_errors=True)
    if site.exists():
        site.rename(old)
    new.rename(site)
    shutil.rmtree(old, ignore_errors=True)


def build(rest: list[str]) -> int:
    if not _no_arguments("build", rest):
        return 2
    site, new, old = (ROOT / name for name in ("site", ".site-new", ".site-old"))
    if old.exists() and not site.exists():  # a build that was ended between the two
        old.rename(site)
    code = _mkdocs("build", "--strict", "--config-file", str(ROOT / "mkdocs.yml"), "--site-dir",
                   str(new))
    if code == 0:
        _take_place(new, site, old)
    shutil.rmtree(new, ignore_errors=True)
    _say("The site is in site/: open site/index.html." if code == 0 else "No site was built.")
    return code


def serve(rest: list[str]) -> int:
    if not _no_arguments("serve", rest):
        return 2
    port = _free_port()
    if port is None:
        _say("No port from 8000 to 8019 is free on this machine; stop another server first.")
        return 1
    below = urlsplit(site_address(ROOT / "mkdocs.yml")).path or "/"
    _say(f"Building the site and serving it at http://127.0.0.1:{port}{below} (Ctrl-C ends it).")
    arguments = ["serve", "--config-file", str(ROOT / "mkdocs.yml"), "--dev-addr",
                 f"127.0.0.1:{port}"]
    if os.name == "nt":
        return _mkdocs(*arguments)
    os.chdir(ROOT)  # in the place of this process, so that whatever ends it ends the server
    os.execve(sys.executable, [sys.executable, "-m", "mkdocs", *arguments],
              {**os.environ, "NO_MKDOCS_2_WARNING": "1"})


def _free_port() -> int | None:
    for port in range(8000, 8020):
        with socket.socket() as one:
            if hasattr(socket, "SO_REUSEADDR") and os.name != "nt":
                one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                one.bind(("127.0.0.1", port))
                return port
            except OSError:
                continue
    return None


def test(rest: list[str]) -> int:
    """All of it on all processors, a file on one of them; what is named, as pytest does it."""
    return subprocess.call([sys.executable, "-m", "pytest",
                            *(rest or ["-n", "auto", "--dist", "loadfile"])], cwd=ROOT)


def check(rest: list[str]) -> int:
    form = "text"
    if rest[:1] == ["--format"] and rest[1:] in (["text"], ["json"]):
        form = rest[1]
    elif rest:
        _say("usage: python3 -m builder check [--format text|json]")
        return 2
    shop = loading.load_shop(PROCEDURES)
    shop.problems += tags.read(PROCEDURES.parent / "site_src", PROCEDURES, shop)[1]
    if form == "json":
        print(problems.as_json(shop.problems))
    else:
        print(problems.as_text(shop.problems)
              or f"No problems in the files of {len(shop.plans)} plan(s), "
              f"{len(shop.meters)} meter(s), {len(shop.standards)} standard(s) and "
              f"{len(shop.records)} record(s).")
        if not shop.errors:
            # beside the answer, which other programs may read
            _say("\n".join(contents.summary(shop)))
    return 1 if shop.errors else 0


def limits(rest: list[str]) -> int:
    return quick_answer.limits_command(rest, PROCEDURES)


def practice(rest: list[str]) -> int:
    from builder.practice import practice_pages as practising
    return practising.practice(rest, PROCEDURES)


def draft(rest: list[str]) -> int:
    from builder.first_plan import plan_text as drafting
    return drafting.draft(rest, PROCEDURES)


def blank(arguments: list[str]) -> int:
    from builder import file_rules
    from builder.files.problems import Wrong
    from builder.records import paper_form, record_files
    folder = PROCEDURES
    if len(arguments) != 1 or arguments[0].startswith("-"):
        print("usage: python3 -m builder blank PROCEDURE, such as: blank dunlin-60-yearly",
              file=sys.stderr)
        return 2
    shop = loading.load_shop(folder)
    name = arguments[0]
    try:
        if name not in shop.procedures:
            own = [p for p in shop.stopping if p.place.file.endswith(f"plans/{name}.yaml")]
            raise Wrong("the plan has problems:\n" + problems.as_text(own) if own
                        else f"there is no procedure '{name}'",
                        "" if own else file_rules.nearest(name, shop.procedures))
        data = shop.procedures[name].data
        form, beside = paper_form.write(data, folder / record_files.FOLDER)
    except Wrong as wrong:
        print(f"{wrong.sentence}." + (f"\nhint: {wrong.hint}" if wrong.hint else ""),
              file=sys.stderr)
        return 1
    shown = f"{folder.name}/{record_files.FOLDER}"
    print(
        f"{shown}/{form.name}: {len(data['points'])} points and {len(data['checks'])} checks to "
        f"fill in, judged by {shown}/{beside.name}. Rename the form as its record is to be called.")
    return 0


def report(rest: list[str]) -> int:
    return report_files.report(rest, PROCEDURES)


def export(rest: list[str]) -> int:
    from builder.pages import export as exporting
    if len(rest) != 1:
        _say("usage: python3 -m builder export DIR")
        return 2
    return exporting.export(Path(rest[0]), ROOT, PROCEDURES)


def schema(rest: list[str]) -> int:
    if not _no_arguments("schema", rest):
        return 2
    for path in schemas.write():
        print(path.relative_to(ROOT))
    return 0
