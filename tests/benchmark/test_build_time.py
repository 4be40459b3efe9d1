"""The benchmark runs and prints its ratios. How large they are is for a quiet machine, not for a
test."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest


@pytest.mark.slow
def test_the_benchmark_runs_and_prints_its_ratios():
    script = Path(__file__).with_name("build_time.py")
    done = subprocess.run([sys.executable, str(script), "--procedures", "8,32", "--repeat", "1"],
                          stdin=subprocess.DEVNULL, capture_output=True, text=True,
                          encoding="utf-8", timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr
    assert len(re.findall(r"(?m)^  ours / by hand +\d\.\d+ wall", done.stdout)) == 2
    assert len(re.findall(r"(?m)^  our own part +0\.\d+ of", done.stdout)) == 2
    assert re.search(r"(?m)^ours 32 / ours 8: \d+\.\d+ wall", done.stdout)
    assert "8 procedures, 400 points" in done.stdout
