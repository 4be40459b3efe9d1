"""What the theme made of pages, kept: another one wherever anything changes that a template shows,
and none where somebody else has a hand in it."""

import shutil
from types import SimpleNamespace

import pytest

from builder.files.kept_texts import FOLDER, KeptTexts
from builder.pages import kept_templates
from tests import small_shop as shop
from tests.conftest import Project

VOLTS = shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"), dial="V DC")
SMALL = {"meter": shop.meter(VOLTS), "standard": shop.standard(),
         "plan": shop.plan({"function": "DC voltage", "apply": ["3 V", "-3 V"]})}
SHEET = "procedures/lapwing-yearly.html"


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    made = Project(tmp_path_factory.mktemp("templates"), address="https://sheets.example/shop/")
    return made.write(**SMALL).build()


def test_a_second_build_asks_no_template_for_a_generated_page(built, monkeypatch):
    """Nor is anything written; what people wrote goes through the theme as ever."""
    first, asked = built.files(), []
    around = kept_templates.around

    def counted(*given):
        env = around(*given)
        get = env._env.get_template

        def template(name):
            render = get(name).render
            return SimpleNamespace(render=lambda context: asked.append(context.get("page"))
                                   or render(context))
        env._env = SimpleNamespace(get_template=template)
        return env

    monkeypatch.setattr(kept_templates, "around", counted)
    monkeypatch.setattr(KeptTexts, "write", lambda *given: pytest.fail("written"))
    assert built.build().files() == first
    assert "index.html" in [one.url for one in asked if one]
    assert not {one.url for one in asked if one} & {SHEET, "by-meter.html", "problems.html"}


EDITS = {
    "name": ("site_name: Meter verification", "site_name: Another verification"),
    "address": ("sheets.example/shop/", "sheets.example/other/"),
    "description": ("Verification sheets with", "Sheets with"),
    "author": ("docs_dir:", "site_author: T. Askew (invented)\ndocs_dir:"),
    "style": ("[assets/bench.css]", "[assets/bench.css, own.css]"),
    "script": ("extra_css:", "extra_javascript: [own.js]\nextra_css:"),
    "menu": ("- Safety: safety.md", "- Safe work: safety.md"),
    "order": ("  - Reports: reports.md\n", ""),
    "palette": ("primary: custom, toggle: {icon: material/weather-night", "primary: red, toggle: "
                "{icon: material/weather-night"),
    "feature": ("toc.follow]", "toc.integrate]"),
    "language": ("  name: material\n", "  name: material\n  language: de\n"),
    "search": ("  - search\n", "  - search: {enabled: false}\n"),
    "templates": ("  name: material\n", "  name: material\n  custom_dir: own\n"),
}


@pytest.mark.parametrize("edit", EDITS)
def test_a_changed_setting_is_seen_on_every_page(built, edit):
    """The site with what was kept before the edit is the one that is made from nothing."""
    path, before = built.root / "mkdocs.yml", built.build().files()
    text, (old, new) = path.read_text(encoding="utf-8"), EDITS[edit]
    assert text.count(old) == 1
    own = built.root / "own/partials/nav.html"
    own.parent.mkdir(parents=True, exist_ok=True)
    own.write_text("<p>ours</p>", encoding="utf-8")
    path.write_text(text.replace(old, new), encoding="utf-8")
    try:
        kept = built.build().files()
        shutil.rmtree(built.root / FOLDER)
        assert kept == built.build().files()
        if edit == "templates":
            assert b"<p>ours</p>" in kept[SHEET]
            own.write_text("<p>ours anew</p>", encoding="utf-8")
            assert b"ours anew" in built.build().files()[SHEET]
        assert any(kept[name] != before[name] for name in before if name.endswith(".html"))
    finally:
        path.write_text(text, encoding="utf-8")


def test_somebody_elses_plugin_hook_or_theme_keeps_nothing():
    """What they hand to a template isn't known."""
    class Theme(dict):
        name, custom_dir = "material", None

    plain = {"hooks": {}, "plugins": {"procedures": SimpleNamespace(config={})}, "theme": Theme()}
    assert kept_templates.settings(plain)
    other = Theme()
    other.name = "mkdocs"
    for change in ({"hooks": {"x.py": 1}}, {"theme": other}, {"site_name": object()},
                   {"plugins": {"macros": SimpleNamespace(config={})}}):
        assert kept_templates.settings(plain | change) is None
        assert kept_templates.around("env", plain | change, (), KeptTexts()) == "env"
