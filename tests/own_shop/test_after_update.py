"""What `check` says after an update."""

import pytest

import builder
from builder import cli
from builder.formats import schemas
from builder.own_shop import after_update


@pytest.mark.parametrize("line, told", [
    ("verification-procedures==0.0.9", "version 0.0.9 is asked for"),
    ("./verification_procedures-0.0.9-py3-none-any.whl", "version 0.0.9 is asked for"),
    (f"./verification_procedures-{builder.__version__}-py3-none-any.whl", ""),
    ("verification-procedures @ git+https://x.example/a.git@abc", ""),
    ("# verification-procedures==0.0.9", "")])
def test_another_version_than_the_one_that_is_asked_for(line, told, tmp_path):
    """Told at its line, as a warning; an address says no version."""
    (tmp_path / "requirements.txt").write_text(f"# The tool\n{line}\n")
    assert [one.sentence.partition(",")[0] for one in after_update.problems(tmp_path)] == (
        [told] if told else [])
    assert all(one.place.line == 2 and one.severity == "warning"
               for one in after_update.problems(tmp_path))


def test_schemas_of_another_version(tmp_path, monkeypatch, capsys):
    """Told once, until 'schema' has written them anew; a shop without any isn't asked."""
    monkeypatch.setattr(cli, "ROOT", tmp_path)
    monkeypatch.setattr(cli, "PROCEDURES", tmp_path / "procedures")
    (tmp_path / "procedures/meters").mkdir(parents=True)
    assert after_update.problems(tmp_path) == []
    schemas.write(tmp_path / "procedures")
    assert after_update.problems(tmp_path) == []
    (tmp_path / "procedures" / schemas.VERSION).write_text("0.0.9\n")
    assert cli.main(["check"]) == 0
    said = capsys.readouterr().out
    assert said.count("are of version 0.0.9") == 1 and "the command 'schema'" in said
    assert cli.main(["schema"]) == 0 and after_update.problems(tmp_path) == []
