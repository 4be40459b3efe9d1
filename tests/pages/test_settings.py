"""What mkdocs.yml says of a site, read by those who aren't MkDocs."""

import pytest

from builder.files.problems import Wrong
from builder.pages import left_out, settings
from tests.conftest import ROOT


def read(folder, text, **others):
    for name, content in {"mkdocs.yml": text, **others}.items():
        (folder / name).write_text(content, encoding="utf-8")
    return settings.read(folder / "mkdocs.yml")


def test_the_demos():
    """All of it is published, with its lessons."""
    own = settings.read(ROOT / "mkdocs.yml")
    assert own.name == "Meter verification at Kittiwake Point" and own.out == ()
    assert own.address.startswith("https://") and own.served_at == ""


@pytest.mark.parametrize("plugins", [
    "  - search\n  - procedures: {lessons: no, publish: sheets}\n",
    "  - procedures:\n      lessons: false\n      publish: sheets\n",
    "  procedures: {lessons: 'no', publish: sheets}\n  search: {}\n"])
def test_both_ways_to_write_plugins(plugins, tmp_path):
    """As a list or as a map; what other programs' tags mean is not asked."""
    own = read(tmp_path, f"site_name: A\nother: !!python/name:a.b\nplugins:\n{plugins}")
    assert not own.lessons and own.publish == "sheets"
    assert own.out == (*left_out.LESSONS, *left_out.OF_METERS)


def test_what_is_inherited_counts(tmp_path):
    """What is published must not follow from which program reads the file."""
    own = read(tmp_path, "INHERIT: base.yml\nsite_url: ftp://x\n",
               **{"base.yml": "site_name: B\nplugins: [{procedures: {publish: sheets}}]\n"})
    assert (own.name, own.publish, own.address) == ("B", "sheets", "")


@pytest.mark.parametrize("text, says", [
    ("plugins: [{procedures: {publish: some}}]", "'publish: some' is not known"),
    ("a: [", "can't be read"), ("- a", "holds no settings")])
def test_what_is_not_understood_is_refused(text, says, tmp_path):
    """Nothing is published by a guess."""
    with pytest.raises(Wrong, match=says):
        read(tmp_path, text)
    with pytest.raises(Wrong, match="can't be read"):
        settings.read(tmp_path / "none.yml")
