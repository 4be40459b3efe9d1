"""Small whole projects for tests: a meter, a standard and a plan as dicts or as text, loaded
through the pipeline.

A dict is written as JSON, which is YAML too; a string is written as it stands.
"""

from __future__ import annotations

import json
from pathlib import Path

from builder.files.problems import Problem
from builder.formats.bench_checks import CHECKS
from builder.shop import loading
from builder.shop.contents import Shop

JACKS = ["V", "COM"]


def meter(*functions: dict, **more) -> dict:
    return {"meter": "lapwing-1", "name": "Lapwing 1", "maker": "Invented Works",
            "display": "6000 counts",
            "specification": {"source": "Lapwing 1 data sheet", "holds": "18 to 28 degC"},
            "rated": {"between_terminals": "1000 V"}, "functions": list(functions)} | more


def function(kind: str, *ranges: dict, **more) -> dict:
    """A function with its ranges; one of two wires with an accuracy after zeroing, unless `more`
    says otherwise."""
    zeroed = {"after_zeroing": "yes"} if kind in ("resistance", "capacitance", "inductance") else {}
    return {"function": kind, "jacks": JACKS, "ranges": list(ranges)} | zeroed | more


def range_(name: str, resolution: str, accuracy, **more) -> dict:
    return {"range": name, "resolution": resolution, "accuracy": accuracy} | more


def row(within: str, **more) -> dict:
    return {"within": within} | more


_REACH = {
    "DC voltage": {"values": "0 V to 1100 V"}, "DC current": {"values": "0 A to 30 A"},
    "AC voltage": {"values": "0 V to 1100 V", "frequency": "1 Hz to 10 MHz"},
    "AC+DC voltage": {"values": "0 V to 1100 V", "frequency": "1 Hz to 10 MHz"},
    "AC current": {"values": "0 A to 30 A", "frequency": "1 Hz to 10 MHz"},
    "frequency": {"values": "1 mHz to 100 MHz", "level": "1 mV to 1100 V"},
    "duty cycle": {"values": "0 to 100 %", "level": "1 mV to 1100 V"},
}


def standard(reach: dict[str, dict] | None = None, **more) -> dict:
    """A source that reaches almost everything, or what `reach` says."""
    return {"standard": "petrel", "name": "Petrel", "kind": "source",
            "description": "invented source",
            "maker": "Invented Works", "certificate": "P-1", "calibrated": "2015-01-01",
            "due": "2030-01-01", "stated": "k = 2",
            "outputs": [{"output": kind, "terminals": ["HI", "LO"],
                         "rows": [{"within": "0.1 %"} | one]}
                        for kind, one in (_REACH if reach is None else reach).items()]} | more


def _other(kind: str, slug: str, name: str, **more) -> dict:
    """A standard that puts nothing out."""
    made = standard({}, standard=slug, name=name, kind=kind, description="invented " + kind,
                    certificate=f"P-{slug}", **more)
    return {key: value for key, value in made.items() if key != "outputs"}


def box(*values: tuple, what: str = "resistance", zero: str = "leads", **more) -> dict:
    """A box of certified values, each as nominal, certified, uncertainty, and drift if there is
    one."""
    made = [dict(zip(("nominal", "certified", "within", "drift"), one, strict=False))
            for one in values]
    return _other("artifact", "auk-box", "Auk box",
                  artifacts=[{"artifact": what, "terminals": ["A", "B"], "zero": zero,
                              "drift": "included", "values": made}]) | more


def reference(*measures: tuple, **more) -> dict:
    """A reference meter; each of `measures` is what it reads and a row of it, or a row and more
    keys of the measure."""
    made = [{"measures": what, "terminals": ["H", "L"], "rows": rows if isinstance(rows, list)
             else [rows]} | (rest[0] if rest else {}) for what, rows, *rest in measures]
    return _other("reference meter", "skua", "Skua", measures=made) | more


def coil(**more) -> dict:
    """A coil of 50 turns for 20 A; `more` are keys of the coil."""
    return _other("coil", "scoter-coil", "Scoter coil",
                  coil={"turns": "50", "terminals": ["P", "Q"], "highest": "20 A",
                        "within": "0.4 %", "drift": "included",
                        "frequency": "40 Hz to 400 Hz"} | more)


def thermometer(**reads) -> dict:
    """What reads the ambient, or what else `reads` says."""
    return _other("thermometer", "dotterel", "Dotterel", reads=reads or {"ambient": "0.4 degC"})


LEADS = {"length": "1 m", "conductor": "0.75 mm2", "contacts": "40 mohm", "repeats": "10 mohm",
         "stray": "120 pF", "stray_repeats": "10 pF"}
JUNCTION = {"measured": "thermometer at the V jack", "within": "0.3 degC"}


def plan(*points: dict, left_out: list[dict] = (), checks: list = (), **more) -> dict:
    return {"plan": "lapwing-yearly", "title": "Lapwing 1, yearly", "meter": "lapwing-1",
            "standards": "petrel",
            "decision_rule": "simple acceptance", "points": list(points), "checks": list(checks),
            "left_out": list(left_out)} | more


def write(folder: Path, files: dict[str, dict | str | bytes]) -> Path:
    """Files by their path below `folder`."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(content, bytes):
            path.write_bytes(content)
        else:
            text = (content if isinstance(content, str)
                    else json.dumps(content, indent=1, ensure_ascii=False))
            path.write_bytes(text.encode("utf-8", "surrogatepass"))
    return folder


def load(folder: Path, meter_file, plan_file=None, standard_file=None,
         others: dict | None = None, as_it_stands: bool = False) -> Shop:
    """One meter, one standard and one plan; `others` are other files by their path. The checks that
    a live group or a current asks for are added, all of them by eye, unless the plan is a text or
    stays `as_it_stands`."""
    files = {"meters/lapwing-1.yaml": meter_file,
             "standards/petrel.yaml": standard_file or standard()}
    if plan_file is not None:
        files["plans/lapwing-yearly.yaml"] = plan_file
    shop = loading.load_shop(write(folder / "procedures", files | (others or {})))
    return shop if as_it_stands or not complete(folder / "procedures", shop) else (
        loading.load_shop(folder / "procedures"))


def complete(folder: Path, shop: Shop) -> bool:
    """Adds what plans lack of the checks that stop everything, all of them by eye; whether there
    were any. A plan that is written as YAML stays as it stands."""
    lacking = {problem.place.file: [name for name in CHECKS if f"'{name}'" in problem.sentence]
               for problem in shop.errors if problem.code == "stopping-check"}
    added = False
    for file, names in lacking.items():
        path = folder.parent / file
        if path.read_text(encoding="utf-8").startswith("{"):
            made = json.loads(path.read_text(encoding="utf-8"))
            made["checks"] = [*made.get("checks", []),
                              *({"check": name, "when": "by eye"} for name in names)]
            path.write_text(json.dumps(made, indent=1, ensure_ascii=False), encoding="utf-8")
            added = True
    return added


def load_points(folder: Path, one: dict, *points: dict, standard_file=None,
                plan_more: dict | None = None, standards: list[dict] | None = None,
                **meter_more) -> Shop:
    """A meter with one function, and points of it; whatever the points don't test is left out with
    a reason. `standards` are those of the plan in its order, where there are several or other ones
    than a source."""
    title = one.get("name", one["function"])
    points = [{"function": title} | p for p in points]
    made = meter(one, **meter_more)
    more, others = dict(plan_more or {}), {}
    if standards is not None:
        more["standards"] = [s["standard"] for s in standards]
        others = {f"standards/{s['standard']}.yaml": s for s in standards}
    shop = load(folder, made,
                plan(*points, left_out=[{"function": title, "because": "not part of this test"}],
                     **more), standard_file, others)
    if [p.code for p in shop.errors] == ["left-out-but-tested"]:
        shop = load(folder, made, plan(*points, **more), standard_file, others)
    return shop


def load_with(folder: Path, meter_file, plan_file: dict, *standards: dict) -> Shop:
    """A meter, a plan and its standards, in this order."""
    return load(folder, meter_file, plan_file | {"standards": [s["standard"] for s in standards]},
                others={f"standards/{s['standard']}.yaml": s for s in standards})


def the_procedure(shop: Shop):
    assert not shop.errors, "\n".join(map(str, shop.errors))
    (found,) = shop.procedures.values()
    return found


def codes(shop: Shop) -> list[str]:
    return sorted(p.code for p in shop.errors)


def only_problem(shop: Shop) -> Problem:
    assert len(shop.errors) == 1, "\n".join(map(str, shop.problems))
    return shop.errors[0]
