"""Where a site is served on this machine, and whether it is already."""

import functools
import http.server
import re
import threading

import pytest

from builder.files.problems import Wrong
from builder.pages import engine


@pytest.fixture
def stranger(tmp_path):
    """A server on this machine that serves a folder, empty at first; the folder and its port."""
    folder = tmp_path / "served"
    folder.mkdir()

    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_):
            pass
    with http.server.ThreadingHTTPServer(
            ("127.0.0.1", 0), functools.partial(Quiet, directory=str(folder))) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        yield folder, server.server_port
        server.shutdown()
        thread.join()


def test_a_shop_is_served_at_its_one_port(tmp_path, stranger):
    """Another program there is named, and the way out. Where it is the shop's own site it is said
    to be served: by its name, whatever signs that has, and by data that only such sites have."""
    folder, port = stranger
    config = tmp_path / "mkdocs.yml"
    config.write_text(f"site_name: 'M & S'\nsite_url: https://x.example/below/\n"
                      f"dev_addr: 127.0.0.1:{port}\n")
    with pytest.raises(Wrong, match=f"127.0.0.1:{port}, is taken by another program"):
        engine.address(tmp_path)
    (folder / "below/data").mkdir(parents=True)
    (folder / "below/index.html").write_text("<title>Welcome - M &amp; S</title>")
    with pytest.raises(Wrong, match="is taken by another program"):
        engine.address(tmp_path)
    (folder / "below/data/site.json").write_text('{"procedures": []}')
    assert engine.address(tmp_path) == (f"http://127.0.0.1:{port}/below/", True)
    config.write_text(f"site_name: Other\nsite_url: https://x.example/below/\n"
                      f"dev_addr: 127.0.0.1:{port}\n")
    with pytest.raises(Wrong, match="is taken by another program"):
        engine.address(tmp_path)


def test_without_a_port_of_its_own_the_next_free_one_is_taken(tmp_path):
    """What is no host and port is refused."""
    (tmp_path / "mkdocs.yml").write_text("site_name: M\n")
    address, is_served = engine.address(tmp_path)
    assert re.fullmatch(r"http://127\.0\.0\.1:80[01]\d/", address) and not is_served
    (tmp_path / "mkdocs.yml").write_text("dev_addr: here\n")
    with pytest.raises(Wrong, match="'dev_addr: here' in mkdocs.yml is no host and port"):
        engine.address(tmp_path)
