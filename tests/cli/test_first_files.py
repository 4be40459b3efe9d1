"""The commands that write a first file: a meter's, to fill in, and a plan's."""

from builder import cli
from builder.cli import first_files
from builder.first_plan import meter_kinds


def test_it_writes_the_file_and_check_names_the_places(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(cli, "PROCEDURES", tmp_path / "procedures")
    assert cli.main(["new-meter", "my-meter", "--kind", "pocket"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("procedures/meters/my-meter.yaml: fill in ")
    assert cli.main(["check"]) == 1
    assert capsys.readouterr().out.count("this is to be filled in") == int(said.split()[3])
    assert cli.main(["new-meter", "my-meter", "--kind", "pocket"]) == 1
    assert "exists already" in capsys.readouterr().err


def test_the_kind_must_be_one_of_those_known(capsys):
    assert cli.main(["new-meter", "my-meter"]) == 2
    assert cli.main(["new-meter", "my-meter", "--kind", "bench"]) == 2
    assert "pocket" in capsys.readouterr().err


def test_it_knows_all_kinds_without_reading_them():
    assert first_files.KINDS == tuple(meter_kinds.KINDS)
