"""A desk on a small shop, with a plain page in the place of its site."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest
from werkzeug.test import Client, TestResponse
from werkzeug.wrappers import Response

from builder.desk.app import Desk
from builder.shop import deciding
from tests.recorded import data_of, folder_with, put, record

HERE = "http://127.0.0.1:8000"
PLAN, RECORD = "lapwing-yearly", "2026-03-12-lapwing-1-0147"


def site(environ, start_response):
    """What a site says for any address: a page with a frame, as the engine serves it."""
    return Response("<html><head><title>Site</title></head><body><nav>menu</nav>"
                    f"<article class='x'>site {environ['PATH_INFO']}<style>@page{{margin:8mm 10mm "
                    "11mm;}</style><div data-field=\"serial\">Serial no.</div><script>1</script>"
                    "</article>"
                    "<script>livereload(1, 2);</script>"
                    "</body></html>", content_type="text/html")(environ, start_response)


class Visitor:
    """A browser at the desk of a shop."""

    def __init__(self, root: Path):
        self.root, self.desk = root, Desk(root, site)
        (root / "mkdocs.yml").write_text("site_name: Bench\n", encoding="utf-8")
        self.client = Client(self.desk)

    @property
    def procedures(self) -> Path:
        return self.root / "procedures"

    def get(self, path: str, **more) -> TestResponse:
        return self.client.get(f"/desk/{path}", base_url=HERE, **more)

    def post(self, path: str, fields: dict, **more) -> TestResponse:
        return self.client.post(f"/desk/{path}", base_url=HERE, data=fields, **more)

    def fill(self, path: str, **typed: str) -> dict:
        """The form of a page, with what is typed into it."""
        page = self.get(path).text
        fields: dict = {}
        for name, value in re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page):
            fields.setdefault(name, []).append(html.unescape(value))
        assert fields, page
        return fields | typed

    def files(self) -> dict[str, bytes]:
        """Everything in the shop's folder and beside it, but for the empty file of the lock."""
        beside = self.root.parent
        return {path.relative_to(beside).as_posix(): path.read_bytes()
                for path in sorted(beside.rglob("*"))
                if path.is_file() and path.name != deciding.LOCK}


@pytest.fixture
def at(tmp_path) -> Visitor:
    """A visitor of a shop with a plan that nobody approved, and no record."""
    root = folder_with(tmp_path / "shop")
    for path in (root / "records").iterdir():
        path.unlink()
    return Visitor(root.parent)


@pytest.fixture
def recorded(tmp_path) -> Visitor:
    """A visitor of a shop with a record whose report nobody finished."""
    root = folder_with(tmp_path / "shop")
    put(root, f"{RECORD}.yaml", record(data_of(root)))
    return Visitor(root.parent)
