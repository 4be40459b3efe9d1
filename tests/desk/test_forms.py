"""The register and certificates as forms, by real requests: one value is another, and no other byte
of the file."""

import re
import shutil

import pytest

from builder.files import in_place, yaml_text
from tests.committed import PROCEDURES
from tests.desk.conftest import Visitor

STANDARDS = sorted(path.stem for path in (PROCEDURES / "standards").glob("*.yaml"))
HOSTILE = ["a: b", "x # y", '"q" it\'s', "yes", "0147", "é Ω 測", "- x", "{a}, [b", "*x", "null",
           "%d: @", "12:30", "'"]


@pytest.fixture
def demo_at(tmp_path) -> Visitor:
    """A visitor of a shop with the demo's register, meters and standards, and no plans."""
    root = tmp_path / "shop/procedures"
    for name in ("standards", "meters"):
        shutil.copytree(PROCEDURES / name, root / name)
    shutil.copy(PROCEDURES / "register.yaml", root)
    return Visitor(root.parent)


def values(path) -> dict[tuple, tuple[str, int, int]]:
    """Each single value with the bytes that it stands in."""
    text = path.read_text(encoding="utf-8")
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    document, _ = yaml_text.parse(text, "")
    found = {}
    for place, node in in_place.leaves(document.root):
        first, last = (starts[line] + column for line, column in (node.start, node.end))
        found[place] = (node.value, first, first + len(text[first:last].rstrip()))
    return found


def others(n: int, value: str) -> list[str]:
    """What a value may become: a text that YAML would read otherwise, another number, another
    day, another of the words for its place."""
    number = re.sub(r"[1-9](?=[^1-9]*$)", lambda one: "8" if one[0] == "9" else "9", value)
    return [HOSTILE[n % len(HOSTILE)], re.sub(r"-\d\d$", "-28", value), number,
            {"leads": "none", "square": "triangle", "turnstone-c": "dunlin-60"}.get(value, value)]


def change_each(at: Visitor, name: str, link: str, below: tuple = ()) -> tuple[int, list[str]]:
    """Changes each value of a file, or of a part of it, in turn by its form, and puts the file
    back; how many were saved, and those for which only refusals came."""
    path = at.procedures / f"{name}.yaml"
    text, saved, refused = path.read_text(encoding="utf-8"), 0, []
    for n, (place, (value, first, last)) in enumerate(values(path).items()):
        if place[:len(below)] != below:
            continue
        for other in others(n, value):
            if other == value:
                continue
            answer = at.post("values", at.fill(link) | {f"v{n}": other})
            made = path.read_text(encoding="utf-8")
            if answer.status_code == 200:
                break
            assert answer.status_code == 409 and made == text
            assert "Nothing was written" in answer.text
        else:
            refused.append(f"{place} {value}")
            continue
        assert made[:first] == text[:first] and made.endswith(text[last:]), place
        assert values(path)[place][0] == " ".join(other.split())
        path.write_bytes(text.encode())
        saved += 1
    return saved, refused


@pytest.mark.parametrize("entry", [0, 6, *(pytest.param(n, marks=pytest.mark.long)
                                           for n in (1, 2, 3, 4, 5, 7))])
def test_each_value_of_the_register(demo_at, entry):
    """By the form of its line; all can be another one."""
    own = [place for place in values(demo_at.procedures / "register.yaml") if place[1] == entry]
    saved, refused = change_each(demo_at, "register", f"values?file=register&entry={entry}",
                                 ("meters", entry))
    assert refused == [] and saved == len(own) >= 5


@pytest.mark.parametrize("name", [
    "pipit", *(pytest.param(one, marks=pytest.mark.long) for one in STANDARDS if one != "pipit")])
def test_each_value_of_a_standard(demo_at, name):
    """What can't be another one alone is refused: what it is, how it is named, and the ends of rows
    that have to meet."""
    saved, refused = change_each(demo_at, f"standards/{name}", f"values?file=standards/{name}")
    print(name, saved, refused)
    assert saved > 3 * len(refused)
    assert any("standard" in one for one in refused) and any("kind" in one for one in refused)
    assert not any(f"'{key}'" in one for key in ("certificate", "due", "calibrated", "issuer")
                   for one in refused)


def test_a_new_certificate_in_one_go(demo_at):
    """Number, day and due date change together; what stood there is kept; its comment stays."""
    path = demo_at.procedures / "standards/pipit.yaml"
    old = path.read_text(encoding="utf-8")
    number = {place[0]: n for n, place in enumerate(values(path))}
    answer = demo_at.post("values", demo_at.fill("values?file=standards/pipit") | {
        f"v{number['certificate']}": "KP 7: # 3", f"v{number['calibrated']}": "2027-04-20",
        f"v{number['due']}": "2028-04-30"})
    assert answer.status_code == 200 and "kept/standards/pipit.yaml" in answer.text
    new = path.read_text(encoding="utf-8")
    assert len(new.splitlines()) == len(old.splitlines())
    changed = [(one, two) for one, two in zip(old.splitlines(), new.splitlines(), strict=True)
               if one != two]
    assert [two for _, two in changed] == ['certificate: "KP 7: # 3"', "calibrated: 2027-04-20",
                                           "due: 2028-04-30"]
    assert (demo_at.root / "kept/standards/pipit.yaml").read_text(encoding="utf-8") == old


@pytest.mark.parametrize("due, says", [
    ("2027-02-30", "is not a date"), ("", "nothing stands here"), ("soon", "is not a date"),
    ("2020-01-01", "calibrated")])
def test_a_faulty_value_is_shown_and_not_saved(demo_at, due, says):
    """With file, line and reason; what was typed stays in the form."""
    path = demo_at.procedures / "standards/pipit.yaml"
    n = [place for place in values(path)].index(("due",))
    before = demo_at.files()
    answer = demo_at.post("values", demo_at.fill("values?file=standards/pipit") | {f"v{n}": due})
    assert answer.status_code == 409 and demo_at.files() == before
    assert "procedures/standards/pipit.yaml:" in answer.text and says in answer.text
    assert f'name="v{n}" value="{due}"' in answer.text


def test_the_second_window_sees_that_the_file_changed(demo_at):
    """It writes nothing, and shows what it has and what is there."""
    path = demo_at.procedures / "register.yaml"
    link = "values?file=register&entry=0"
    first, second = demo_at.fill(link), demo_at.fill(link)
    assert demo_at.post("values", first | {"v5": "berth 9"}).status_code == 200
    before = path.read_bytes()
    answer = demo_at.post("values", second | {"v5": "berth 7"})
    assert answer.status_code == 409 and "has changed since you opened it" in answer.text
    assert path.read_bytes() == before
    path.write_bytes(before + b"# by hand\n")
    assert demo_at.post("values", demo_at.fill(link) | {"v5": "berth 7"}).status_code == 200
    assert path.read_bytes().endswith(b"# by hand\n")


def test_a_line_more_and_a_meter_more(demo_at):
    """A meter is withdrawn, and a new one comes: each a few bytes more, at one place."""
    path = demo_at.procedures / "register.yaml"
    old = path.read_text(encoding="utf-8")
    form = demo_at.fill("values?file=register&entry=3")
    assert demo_at.post("values", form | {"key": "withdrawn", "more": "lost: overboard"}
                        ).status_code == 200
    new = path.read_text(encoding="utf-8")
    assert new.replace(', withdrawn: "lost: overboard"', "") == old
    form = demo_at.fill("values?file=register&entry=8")
    answer = demo_at.post("values", form | {"serial": "0181", "meter": "dunlin-60",
                                            "place": "x, y"})
    assert answer.status_code == 200
    assert path.read_text(encoding="utf-8") == (
        new + '  - {serial: "0181", meter: dunlin-60, place: "x, y"}\n')
    before = path.read_bytes()
    assert demo_at.post("values", demo_at.fill("values?file=register&entry=9") | {
        "serial": "0181", "meter": ""}).status_code == 409
    assert demo_at.post("values", demo_at.fill("values?file=register&entry=1") | {
        "key": "__class__", "more": "x"}).status_code == 409
    assert path.read_bytes() == before


def test_what_other_files_would_suffer_is_said_first(at):
    """A certificate that is worse than a plan takes: the plan's error is shown, and the truth can
    be saved all the same."""
    path = at.procedures / "standards/petrel.yaml"
    n = next(n for n, (place, (value, *_)) in enumerate(values(path).items())
             if place[-1] == "values" and value.startswith("0"))
    value = values(path)[next(place for place in values(path) if place[-1] == "values")][0]
    form = at.fill("values?file=standards/petrel") | {f"v{n}": re.sub(r"to .*", "to 1 V", value)}
    before = path.read_bytes()
    answer = at.post("values", form)
    assert answer.status_code == 409 and "procedures/plans/lapwing-yearly.yaml:" in answer.text
    assert "other files would no longer be right" in answer.text and path.read_bytes() == before
    assert at.post("values", form | {"anyway": "yes"}).status_code == 200
    assert path.read_bytes() != before


@pytest.mark.parametrize("place, opened", [
    (("due",), []), (("outputs", 2, "output"), ["outputs 3: AC voltage"]),
    (("outputs", 0, "rows", 1, "within"), ["outputs 1: DC voltage"])])
def test_after_a_refusal_only_what_was_changed_lies_open(demo_at, place, opened):
    """A source has hundreds of values; what was refused is not to be looked for among them."""
    n = list(values(demo_at.procedures / "standards/fulmar.yaml")).index(place)
    answer = demo_at.post("values", demo_at.fill("values?file=standards/fulmar")
                          | {f"v{n}": "30.6.2028"})
    assert answer.status_code == 409 and 'value="30.6.2028"' in answer.text
    assert len(re.findall("<details", answer.text)) == 8
    assert re.findall("<details open><summary>(.*?)</summary>", answer.text) == opened


@pytest.mark.parametrize("name", ["../x", "standards/../../x", "/etc/passwd", "standards/nothing",
                                  "register.yaml", "meters/.hidden", "standards/a\0b", "", "plans/",
                                  "workshop"])
@pytest.mark.parametrize("page", ["values", "text", "beside", "fits"])
def test_no_other_file_is_opened(at, name, page):
    """Only those that the shop's folders hold, by their names."""
    before = at.files()
    fields = {"token": at.desk.token.text, "file": name, "text": "x", "seen": ""}
    assert at.post(page, fields).status_code == 409
    if page in ("values", "text"):
        assert at.get(f"{page}?file={name}").status_code == 409
    assert at.files() == before


def test_a_line_that_is_not_there(demo_at):
    """Neither of the register nor of a standard, which has none."""
    before = demo_at.files()
    token = {"token": demo_at.desk.token.text, "seen": "", "key": "place", "more": "x"}
    for file, entry in (("register", "9"), ("register", "9" * 200), ("standards/pipit", "0")):
        assert demo_at.get(f"values?file={file}&entry={entry}").status_code == 409
        assert demo_at.post("values", token | {"file": file, "entry": entry}).status_code == 409
    assert demo_at.get("values?file=register&entry=-1").status_code == 200
    assert demo_at.get("values?file=meters/dunlin-60").status_code == 409
    assert demo_at.files() == before


def test_a_link_is_not_followed(at):
    """Neither a file that is one, nor a folder."""
    path = at.procedures / "standards/petrel.yaml"
    outside = at.root.parent / "outside.yaml"
    form = at.fill("values?file=standards/petrel") | {"v0": "other"}
    path.rename(outside)
    path.symlink_to(outside)
    before = outside.read_bytes()
    assert at.post("values", form).status_code == 409
    path.unlink()
    elsewhere = at.root.parent / "elsewhere"
    shutil.move(at.procedures / "standards", elsewhere)
    shutil.copy(outside, elsewhere / "petrel.yaml")
    (at.procedures / "standards").symlink_to(elsewhere)
    assert at.post("values", form).status_code == 409
    assert outside.read_bytes() == before == (elsewhere / "petrel.yaml").read_bytes()


@pytest.mark.parametrize("page", ["values", "text", "beside", "fits", "new-meter", "draft"])
def test_nothing_without_the_token(at, page):
    """As every form of the desk."""
    before = at.files()
    answer = at.post(page, {"file": "standards/petrel", "token": "x", "v0": "other", "text": "x",
                            "name": "new", "kind": "pocket", "meter": "lapwing-1",
                            "first": "petrel"})
    assert answer.status_code == 403 and at.files() == before
