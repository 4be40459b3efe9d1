"""Links and lines of the menu to what a workshop leaves out."""

import pytest

from builder.pages import left_out
from builder.pages.left_out import is_out, without_entries, without_links

OUT = (*left_out.LESSONS, *left_out.OF_METERS)


@pytest.mark.parametrize("name, out", [
    ("lessons/limits.md", True), ("lessons/index.md", True), ("trainee.md", True),
    ("reports/2026-03-12-x.md", True), ("reports.md", True), ("history/x-1.md", True),
    ("data/reports/x.json", True), ("shop.md", True), ("due-dates.ics", True),
    ("glossary.md", False), ("practice/1.md", False), ("procedures/trainee.md", False),
    ("my-lessons.md", False), ("data/procedures/x.json", False)])
def test_what_is_out(name, out):
    """A folder by all in it, a page by its name."""
    assert is_out(name, OUT) == out


@pytest.mark.parametrize("page, text, left", [
    ("using.md", "see [the lesson](lessons/ac.md#rms) on it", "see the lesson on it"),
    ("using.md", "see [Safety](safety.md) first", "see [Safety](safety.md) first"),
    ("glossary.md", "of a digit. → [lesson](lessons/counts.md)", "of a digit."),
    ("glossary.md", "of a digit. → [safety](safety.md)", "of a digit. → [safety](safety.md)"),
    ("index.md", "- [**Lessons**, all](lessons/index.md){ .tap }\n- [Limits](limits.md){ .tap }\n",
     "- [Limits](limits.md){ .tap }\n"),
    ("index.md", "- **[Lessons](lessons/index.md)**\nend", "end"),
    ("index.md", "- [Lessons](lessons/index.md) and more", "- Lessons and more"),
    ("procedures/x.md", 'a <a class="b" href="../lessons/ac.html#x">lesson <b>here</b></a>, <a '
     'href="../glossary.html">word</a>', 'a lesson <b>here</b>, <a href="../glossary.html">word'
     '</a>'),
    ("practice/1-answers.md", 'so. → <a href="../lessons/ac.html">AC</a>', "so."),
    ("practice/lessons/x.md", "[y](index.md)", "[y](index.md)"),
    ("history/x.md", "[y](https://lessons.example/lessons/)",
     "[y](https://lessons.example/lessons/)"),
    ("x/y.md", "[all](../reports.md) [one](../reports/1.md)", "all one"),
])
def test_words_stay_and_links_go(page, text, left):
    """From wherever the page stands; an item that is only a link goes, and an arrow before one."""
    assert without_links(text, page, OUT) == left
    assert without_links(text, page, ()) == text


def test_the_menu_loses_entries_and_sections_that_are_empty_then():
    """As mkdocs.yml has it: with and without titles."""
    menu = [{"Welcome": "index.md"}, "shop.md", {"Reports": "reports.md"},
            {"Learn": [{"Lessons": "lessons/index.md"}, {"Glossary": "glossary.md"}]},
            {"More": [{"Path": "trainee.md"}]}]
    assert without_entries(menu, OUT) == [{"Welcome": "index.md"},
                                          {"Learn": [{"Glossary": "glossary.md"}]}]
    assert without_entries(menu, ()) == menu
