"""Mutation testing of a script that states: changes one place of `assets/statement.js` at a time
and asks every case that its tests know, in the browser that they use.

    python -m tests.mutation_js         # a minute; names each change that no case notices
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator

from playwright.sync_api import sync_playwright

from builder.pages import page_text
from tests.conftest import FLAGS, chromium
from tests.pages import test_statement_js as judged

# Each of these at each of its places.
CHANGES = [("===", "!=="), ("!==", "==="), ("&&", "||"), ("||", "&&"), ("some", "every"),
           (" < ", " <= "), (" < ", " > "), (" > ", " >= "), (" > ", " < "), ("0", "1"),
           ("!", ""), ("? ", "|| true ? "), ("? ", "&& false ? "), (".length", ".length - 1"),
           ("PASSES.includes(one)", "true"), ("FAILS.includes(one)", "true"),
           ("filter(", "filter(() => true, "), (".ground", ".planned")]
IF = re.compile(r"^ +if \(.*\) return .*;$", re.M)
TEXT = re.compile(r"'[^']*'")


def mutants(source: str) -> Iterator[tuple[str, str]]:
    """What was changed, and the script so changed."""
    start = source.index("const FAILS")
    for old, new in CHANGES:
        for found in re.finditer(re.escape(old), source):
            if found.start() > start and not in_comment(source, found.start()):
                yield changed(source, found.start(), found.end(), new)
    for found in TEXT.finditer(source, start):
        if not in_comment(source, found.start()):
            yield changed(source, found.start(), found.end(), "'something else'")
    returns = list(IF.finditer(source))
    for found in returns:
        yield changed(source, found.start(), found.end(), "")
    for one, other in zip(returns, returns[1:], strict=False):
        # the order in which the statements come: what stands between may be needed by the other
        between = source[one.end():other.start()]
        yield changed(source, one.start(), other.end(), f"{between}\n{other[0]}\n{one[0]}")
    for found in re.finditer(r"^ +(?:answered|own|groups)\.?.*\|\|$", source, re.M):
        yield changed(source, found.start(), found.end(), "")


def changed(source: str, start: int, end: int, new: str) -> tuple[str, str]:
    line = source[:start].count("\n") + 1
    return (f"line {line}: {source[start:end].strip()!r} → {new.strip()!r}",
            source[:start] + new + source[end:])


def in_comment(source: str, place: int) -> bool:
    line = source[source.rindex("\n", 0, place) + 1:source.find("\n", place)].strip()
    return line.startswith(("/*", "*", "//"))


def asks() -> list[tuple[str, dict]]:
    """What both tests ask the page; they are the same functions, so no case is left out."""
    asked: list[tuple[str, dict]] = []
    plain = judged.asked
    judged.asked = lambda _, script, given: asked.append((script, given)) or []
    try:
        judged.test_every_function(None)
        judged.test_every_meter(None)
    finally:
        judged.asked = plain
    return asked


def main() -> int:
    source = (page_text.HERE / "assets/statement.js").read_text(encoding="utf-8")
    with sync_playwright() as playwright:
        page = playwright.chromium.launch(executable_path=chromium(), args=FLAGS).new_page()
        for n, (script, given) in enumerate(asks()):
            first = script.strip().replace("all.filter(", "all.find(").replace(".slice(0, 3)", "")
            page.evaluate(f"text => {{ window.given{n} = JSON.parse(text); "
                          f"window.ask{n} = {first} }}", json.dumps(given))
        lives = []
        for name, script in [("as it is", source), *mutants(source)]:
            dead = page.evaluate("""script => {
                try { new Function(script)(); return Boolean(ask0(given0) || ask1(given1)) }
                catch (error) { return true } }""", script)
            if (name == "as it is") == dead:    # which must live
                lives.append(name)
                print(f"\n{name}", flush=True)
        print(f"{len(list(mutants(source)))} changes, {len(lives)} live")
    return bool(lives)


if __name__ == "__main__":
    sys.exit(main())
