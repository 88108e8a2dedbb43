"""The benches run, on a tract that is small; how long they take is reported, never asserted."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def test_the_bench_of_the_purchase_runs():
    ran = subprocess.run(
        [sys.executable, ROOT / "bench/blending.py", "--plots", "8", "--materials", "7"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert "no purchase costs less" in ran.stdout


@pytest.mark.nightly
def test_the_bench_of_the_api_runs():
    sizes = ["--plots", "3", "--entries", "50", "--runs", "1", "--starts", "1"]
    ran = subprocess.run(
        [sys.executable, ROOT / "bench/api.py", *sizes], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    assert "state after a note" in ran.stdout


def test_the_bench_of_the_rule_of_the_day_runs_and_both_ways_agree():
    sizes = ["--plots", "3", "--days", "40", "--years", "4", "--runs", "1"]
    ran = subprocess.run(
        [sys.executable, ROOT / "bench/dispatch.py", *sizes],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert "plain NumPy" in ran.stdout


@pytest.mark.nightly
def test_the_bench_of_repeated_counts_runs_and_both_ways_agree():
    sizes = ["--places", "6", "--rounds", "4", "--runs", "2"]
    ran = subprocess.run(
        [sys.executable, ROOT / "bench/mixture.py", *sizes],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert "both ways" in ran.stdout


@pytest.mark.nightly
def test_the_bench_of_the_search_runs_and_both_ways_agree():
    sizes = ["--plots", "2", "--days", "30", "--years", "4", "--tries", "3", "--plain", "3",
             "--seeds", "1", "--hours", "2"]  # fmt: skip
    ran = subprocess.run(
        [sys.executable, ROOT / "bench/search.py", *sizes],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert "plain NumPy" in ran.stdout


@pytest.mark.nightly
def test_the_bench_of_photos_runs_and_all_ways_agree():
    sizes = ["--heads", "20", "--photos", "60", "--runs", "1"]
    ran = subprocess.run(
        [sys.executable, ROOT / "bench/photos.py", *sizes],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert "Pillow, plainly" in ran.stdout
    assert "60 photos in" in ran.stdout


@pytest.mark.nightly
@pytest.mark.parametrize(
    ("bench", "sizes", "says"),
    [("sight", ["--sizes", "40"], "in sight"), ("terrain", ["--sizes", "40"], "slope"),
     ("travel", ["--sizes", "40"], "cheapest way"),
     ("scent", ["--cells", "60", "--places", "10", "--hours", "40"], "scent of a season")],
)  # fmt: skip
def test_a_bench_of_the_ground_runs_and_all_ways_agree(bench, sizes, says):
    ran = subprocess.run(
        [sys.executable, ROOT / f"bench/{bench}.py", *sizes, "--runs", "1"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert says in ran.stdout


@pytest.mark.nightly
def test_the_bench_of_forage_runs_and_both_ways_agree():
    sizes = ["--plots", "4", "--years", "3", "--draws", "2", "--runs", "1"]
    ran = subprocess.run(
        [sys.executable, ROOT / "bench/forage.py", *sizes],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert "the same ledger both ways" in ran.stdout
