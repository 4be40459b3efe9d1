"""A shop and all that it needs in one file. tests/test_wheel.py makes a whole one and starts it."""

import pytest

from builder import cli
from builder.files.problems import Wrong
from builder.own_shop import backup


def test_what_is_made_again_stays_out(tmp_path):
    """At the top: a folder of the same name further in is the shop's own."""
    for name in ("mkdocs.yml", "site/index.html", "site_src/site/mine.md", "reports/x.html",
                 "procedures/records/reports/a.yaml", ".venv/x", ".site.lock", ".git/x",
                 ".decisions.lock", "procedures/__pycache__/x", "packages/x",
                 "finished-reports/x.html",
                 "procedures/.schema/x.json", ".gitignore", "read-me-first.txt"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).touch()
    assert set(backup._files(tmp_path)) == {
        "mkdocs.yml", "site_src/site/mine.md", "procedures/records/reports/a.yaml",
        "procedures/.schema/x.json", ".gitignore"}


def test_what_the_tool_needs_comes_along_and_what_its_tests_need_does_not():
    """Directly or by another package."""
    needed = set(backup.needed("verification-procedures"))
    assert {"verification-procedures", "mkdocs", "mkdocs-material", "pydantic-core", "pint",
            "markupsafe"} <= needed
    assert not {"pytest", "hypothesis", "playwright", "pip"} & needed


def test_a_backup_is_not_kept_in_what_it_is_of(tmp_path):
    """Wherever below it."""
    for inside in (tmp_path, tmp_path / "backups/of it"):
        with pytest.raises(Wrong, match="lies in the shop"):
            backup.write(tmp_path, inside, None)
    assert list(tmp_path.iterdir()) == []


def test_a_clone_says_that_it_has_no_packages(tmp_path, monkeypatch, capsys):
    """What is installed from it is the clone itself. Nothing is written."""
    monkeypatch.setattr(backup, "_is_editable", lambda package: True)
    assert cli.main(["backup", str(tmp_path / "out")]) == 1
    assert "a clone has no packages" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
