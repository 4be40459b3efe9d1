"""The glossary and the links to it: every one leads to a term, and every term is linked where a
page first uses it."""

from __future__ import annotations

import re

import pytest

from builder.pages.glossary import linked, terms
from tests.conftest import ROOT, SHEETS, _stems
from tests.lessons.test_tags import ORDER, text_of

GLOSSARY = (ROOT / "site_src/glossary.md").read_text(encoding="utf-8")
TERMS = terms(GLOSSARY)
PAGES = [*(f"{kind}/{name}" for kind in ("procedures", "evidence") for name in SHEETS),
         *(f"reports/{name}" for name in _stems(ROOT / "procedures/records", ".yaml"))]
APART = {"script", "style", "svg", "a", "h1", "h2", "h3", "th", "dt", "caption", "summary", "nav",
         "label"}


def test_every_entry_is_a_term_of_its_own():
    """None is missed, and no two share an anchor or a spelling."""
    entries = [line for line in GLOSSARY.splitlines() if line.startswith("**")]
    anchors = [re.search(r"\{ #([a-z-]+) \}", line)[1] for line in entries]
    assert len(set(anchors)) == len(anchors) == len(set(TERMS.values())) > 45
    assert {"count", "as found", "as left", "mean responding", "tur",
            "ol"} <= set(TERMS) and "u" not in TERMS


# ---------------------------------------------------------------- sheets, evidence and reports

def prose(element) -> list[str]:
    """The texts of a page that may hold links, and those links' own: all but heads, ticked steps
    and boxes to fill in."""
    found = []
    for child in element.children:
        if isinstance(child, str):
            found.append(child)
        elif child.tag == "a" and "glossary.html#" in child["href"]:
            found.append(child.text)
        elif (child.tag not in APART and "blanks" not in child.classes
              and "where" not in child.classes):
            found += prose(child)
    return found


def used(texts: list[str]) -> dict[str, str]:
    """The anchors of the terms in some texts, word by word, each with its spelling; of words within
    each other the longest counts."""
    found = {}
    longest = max(len(name.split()) for name in TERMS)
    for text in texts:
        words = [(word.strip(",;:()“”").removesuffix(".") if not word.lower().startswith("r.m.s.")
                  else "r.m.s.", word) for word in re.sub(r"[-\s]", " ", text).split()]
        at = 0
        while at < len(words):
            for n in range(longest, 0, -1):
                said = " ".join(plain for plain, _ in words[at:at + n]).lower()
                name = said if said in TERMS else said.removesuffix("s")
                if name in TERMS and (at == 0 or words[at - 1][0] != "that"):
                    found.setdefault(TERMS[name], said)
                    at += n - 1
                    break
            at += 1
    return found


@pytest.mark.parametrize("page", PAGES)
def test_a_page_links_every_term_that_it_uses_once(demo, page):
    """To a place that is there."""
    article = demo.page(page).one("article")
    links = [a["href"] for a in article.all("a") if "glossary.html#" in (a["href"] or "")]
    assert {href.partition("#")[0] for href in links} == {"../glossary.html"}
    anchors = [href.partition("#")[2] for href in links]
    assert len(set(anchors)) == len(anchors) >= 12
    assert set(anchors) <= {element["id"] for element in demo.page("glossary").all()
                            if element["id"]}
    assert set(used(prose(article))) == set(anchors)


@pytest.mark.parametrize("page", PAGES)
def test_no_link_stands_where_a_hand_is_at_work(demo, page):
    """Not in what is ticked, tapped or filled in."""
    for a in demo.page(page).one("article").all("a"):
        if "glossary.html#" in (a["href"] or ""):
            above, one = [], a.parent
            while one is not None:
                above.append(one)
                one = one.parent
            assert not {one.tag for one in above} & (APART - {"script", "style"}) and not any(
                "blanks" in one.classes for one in above), a.text


def test_a_term_is_linked_at_its_first_use_only():
    """The longest term counts; whatever the letters' size, plural or hyphen; not in tags, heads or
    ticked steps."""
    names = terms(
        "**Count**{ #count }: a\n\n**Standard uncertainty, u**{ #standard-uncertainty }: "
        "b\n\n**Standard**{ #standard }: c\n")
    page = (
        '---\ntitle: count\n---\n# Count\n\n<div title="count">\n<h2>Count</h2><label>a '
        'count</label> Counts,\na standard-uncertainty, accounts; counts and a '
        'standard.\n</div>\n\n'
        "A count in Markdown.\n\n<p>count, standard</p>\n")
    assert linked(page, names, "g.html") == (
        page.replace(" Counts,",
                     ' <a href="g.html#count">Counts</a>,').replace(
                         "standard-uncertainty",
                         '<a href="g.html#standard-uncertainty">standard-uncertainty</a>')
        .replace("a standard.", 'a <a href="g.html#standard">standard</a>.'))
    assert linked(page, {}, "g.html") == page


@pytest.mark.browser
def test_a_link_is_quiet_on_a_screen_and_no_link_on_paper(tab, demo):
    """On a screen it has the colour of its text and a dotted line; in print it is plain text."""
    page = tab(bypass_csp=True)
    look = """() => [...document.querySelectorAll('article a[href*="glossary.html#"]')].map(a => {
        const s = getComputedStyle(a); return [s.color === getComputedStyle(a.parentElement).color,
            s.textDecorationLine, s.textDecorationStyle] })"""
    for name in (PAGES[0], "lessons/ac"):
        page.emulate_media(media="screen")
        page.goto((demo.site / f"{name}.html").as_uri())
        # a colour on its way is neither of the two
        page.add_style_tag(content="* { transition: none !important }")
        assert {tuple(one) for one in page.evaluate(look)} == {(True, "underline", "dotted")}
        page.emulate_media(media="print")
        assert {tuple(one[:2]) for one in page.evaluate(look)} == {(True, "none")}


# ---------------------------------------------------------------- lessons

def test_the_first_lesson_that_uses_a_term_links_it():
    """To the glossary, or to the lesson about it."""
    known: set[str] = set()
    for name in ORDER:
        text = re.sub(r"\{[^{}]*\}|^#.*|^\[Next.*", "", text_of(name), flags=re.M)
        links = re.findall(r"\[([^\]]*)\]\((?:\.\./glossary\.md#|[a-z-]+\.md)", text)
        known |= set(used(links)) | set(re.findall(r"glossary\.md#([a-z-]+)", text))
        words = re.sub(r"\[([^\]]*)\]\([^)]*\)|[*_`]", r"\1", text)
        assert set(used(words.splitlines())) <= known, name
    assert len(known) > 40
