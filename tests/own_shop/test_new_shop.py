"""The folder of a new workshop."""

import json
import re

import pytest

from builder import cli
from builder.files.problems import Wrong
from builder.formats import schemas
from builder.own_shop import new_shop
from builder.pages import settings
from builder.shop import loading
from tests.conftest import ROOT, files_in

NAME, ADDRESS = "Möwe's \"Werkstatt\": Süd", "Shed 4, Ferry Yard"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A shop in a path with blanks and umlauts."""
    folder = tmp_path_factory.mktemp("new") / "meine Prüfstelle"
    new_shop.write(folder, NAME, ADDRESS)
    return folder


def test_it_is_a_shop_without_problems(made):
    """Its name and address are those that were given, whatever signs they have; nothing of the
    demo's is in it."""
    shop = loading.load_shop(made / "procedures")
    assert shop.problems == [] and shop.workshop.name == NAME and shop.workshop.address == [ADDRESS]
    own = settings.read(made / "mkdocs.yml")
    assert (own.name, own.address, own.lessons, own.publish) == (NAME, "", True, "all")
    assert re.fullmatch(r"127\.0\.0\.1:8[1-8]\d\d", own.served_at)
    texts = [content.decode() for name, content in files_in(made).items()
             if not name.endswith(".whl")]
    assert not [text for text in texts if re.search("kittiwake|invented", text, re.I)]
    assert f"# {NAME}\n" in (made / "site_src/index.md").read_text("utf-8")
    assert [path.name for path in (made / "site_src").iterdir()] == ["index.md"]


def test_editors_find_the_schemas(made):
    """Where each kind of file names them, by its first line."""
    for kind in schemas.MODELS:
        assert schemas.file(made / "procedures", kind).read_text("utf-8") == schemas.text(kind)
    first = (made / "procedures/workshop.yaml").read_text("utf-8").splitlines()[0]
    assert (made / "procedures" / first.rpartition("=")[2]).is_file()


def test_its_port_stays_and_another_shop_has_another():
    """It follows from the folder's name: a browser keeps readings by it."""
    ports = [re.search(r"dev_addr: .*:(\d+)", new_shop.settings("x", name))[1]
             for name in ("shop", "shop", "other")]
    assert ports[0] == ports[1] != ports[2]


def test_what_is_there_is_never_written_over(tmp_path, capsys, monkeypatch):
    """A folder with anything in it is refused, an empty one is taken."""
    monkeypatch.setattr(schemas, "write", lambda procedures: [])
    (tmp_path / "mine.txt").write_text("mine")
    asked = ["--name", "A", "--address", "B"]
    assert cli.main(["new", str(tmp_path), *asked]) == 1
    assert "is not an empty folder" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
    (tmp_path / "empty").mkdir()
    assert cli.main(["new", str(tmp_path / "empty"), *asked]) == 0
    assert "is a workshop of its own" in capsys.readouterr().out
    for name, address in (("", "B"), ("A", ""), ("A\nb", "B")):
        with pytest.raises(Wrong, match="has a name and an address"):
            new_shop.write(tmp_path / "none", name, address)
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize("came_from, requirement", [
    (None, "verification-procedures==0.3.0"),
    ({"url": "https://x.example/a.git", "vcs_info": {"vcs": "git", "commit_id": "abc"}},
     "verification-procedures @ git+https://x.example/a.git@abc"),
    ({"url": "file:///elsewhere/clone", "dir_info": {"editable": True}},
     "verification-procedures @ file:///elsewhere/clone"),
    ({"url": "https://x.example/t-1-py3-none-any.whl", "archive_info": {}},
     "verification-procedures @ https://x.example/t-1-py3-none-any.whl"),
    ("wheel", "./t-1+a-py3-none-any.whl")])
def test_the_same_version_is_asked_for_from_where_it_came(came_from, requirement, tmp_path,
                                                          monkeypatch):
    """A wheel that is still there is put beside, so that nothing outside of the shop is needed."""
    wheel = tmp_path / "from here/t-1+a-py3-none-any.whl"
    wheel.parent.mkdir()
    wheel.write_bytes(b"a wheel")
    if came_from == "wheel":
        came_from = {"url": wheel.as_uri(), "archive_info": {}}

    class Package:
        def read_text(self, name):
            return None if came_from is None else json.dumps(came_from)

    monkeypatch.setattr(new_shop.schemas, "write", lambda procedures: [])
    monkeypatch.setattr(new_shop.metadata, "distribution", lambda name: Package())
    monkeypatch.setattr(new_shop.metadata, "version", lambda name: "0.3.0")
    new_shop.write(tmp_path / "shop", "A", "B")
    lines = (tmp_path / "shop/requirements.txt").read_text().splitlines()
    assert [line for line in lines if not line.startswith("#")] == [requirement]
    assert (tmp_path / "shop" / wheel.name).exists() == requirement.startswith("./")


def test_the_demo_is_such_a_shop(made):
    """The same files at the same places, but for those that start one and install the tool."""
    own = {name for name in files_in(made) if "/" not in name or ".schema/" in name}
    demo = {name.as_posix() for name in (path.relative_to(ROOT) for folder in (
        ROOT, ROOT / "procedures/.schema") for path in folder.iterdir() if path.is_file())}
    assert {name for name in own - demo if not name.endswith(".whl")} == {
        "requirements.txt", "start.bat", "start.command", "start.py", "start.sh"}
