"""What comes with the builder for every workshop."""

from builder.files import carried
from tests.conftest import ROOT


def test_in_a_clone_it_is_the_demo_beside_the_code():
    """An installed copy has it inside: tests/test_wheel.py."""
    assert carried.path(carried.PROCEDURES) == ROOT / "procedures"
    assert carried.path(carried.SETTINGS).is_file()


def test_a_shop_gets_what_it_has_no_page_of_its_own_for(tmp_path):
    """Every page but the first one, which is the demo's own, and the icon; none of the pictures
    that show the demo."""
    (tmp_path / "lessons").mkdir()
    for name in ("safety.md", "lessons/counts.md"):
        (tmp_path / name).write_text("# Ours\n")
    pages = carried.pages(tmp_path)
    assert {"using.md", "glossary.md", "changes.md", "trainee.md", "lessons/index.md",
            "lessons/limits.md", "pictures/icon.svg"} <= set(pages)
    assert not {"index.md", "safety.md", "lessons/counts.md", "pictures/sheet.png"} & set(pages)
    assert all(path.is_file() for path in pages.values())


def test_the_demo_has_all_of_them_itself():
    assert carried.pages(ROOT / "site_src") == {}
