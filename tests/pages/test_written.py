"""Sites without lessons, and of sheets alone: built strictly, so that a link that leads nowhere
fails the build."""

from tests.pages.test_render import SMALL


def test_a_site_of_sheets_alone_without_lessons(project):
    """No page, no link and no line of the menu is left of what is left out, on pages that come
    with the builder, on generated ones and on the shop's own; the rest is there."""
    made = project().write(**SMALL)
    settings = made.root / "mkdocs.yml"
    settings.write_text(settings.read_text("utf-8").replace(
        "{lessons: no}", "{lessons: no, publish: sheets}"), "utf-8")
    files = made.build().files()
    assert {"index.html", "safety.html", "using.html", "glossary.html", "practice.html",
            "procedures/lapwing-yearly.html"} <= set(files)
    for gone in ("lessons", "trainee", "reports", "history", "shop.html", "due-dates", "data/rep"):
        assert not [name for name in files if name.startswith(gone)], gone
        assert not [name for name, text in files.items()
                    if name.endswith(".html") and f'href="{gone}'.encode() in text], gone
    assert b"lesson</a>" not in files["glossary.html"] and b"Learn" in files["index.html"]
