"""The build of the pages into the package: when it runs, and when it does not."""

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def hatch(monkeypatch):
    """The build hook, with what it would run written down instead."""
    monkeypatch.delenv("FENCEROW_SKIP_PAGES", raising=False)
    spec = importlib.util.spec_from_file_location("hatch_build", ROOT / "hatch_build.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.ran = []

    def run(folder, script, *words):
        module.ran.append((Path(script).name, words[0]))
        (folder.parent / "src/fencerow/web/static").mkdir(parents=True, exist_ok=True)

    monkeypatch.setattr(module, "run", run)
    return module


@pytest.fixture
def root(tmp_path):
    (tmp_path / "ui/src").mkdir(parents=True)
    (tmp_path / "ui/package.json").write_text("{}")
    (tmp_path / "ui/src/main.ts").write_text("1")
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs/openapi.json").write_text("{}")
    return tmp_path


def hook(hatch, root):
    return hatch.CustomBuildHook(str(root), {}, None, None, str(root), "wheel")


BUILT = [("npm-cli.js", "ci"), ("cli.js", "../docs/openapi.json"), ("vite.js", "build")]


def test_pages_are_built_anew_only_when_their_sources_changed(hatch, root):
    hook(hatch, root).initialize("standard", {})
    assert hatch.ran == BUILT
    hook(hatch, root).initialize("standard", {})
    assert hatch.ran == BUILT
    (root / "ui/src/main.ts").write_text("2")
    hook(hatch, root).initialize("standard", {})
    (root / "docs/openapi.json").write_text('{"paths": {}}')
    hook(hatch, root).initialize("standard", {})
    assert hatch.ran == BUILT * 3


def test_a_source_that_went_away_or_was_renamed_is_a_change(hatch, root):
    first = hatch.sources_digest(root / "ui")
    (root / "ui/src/main.ts").rename(root / "ui/src/other.ts")
    assert hatch.sources_digest(root / "ui") != first


def test_node_is_asked_for_only_where_pages_will_be_built(hatch, root, monkeypatch):
    assert hook(hatch, root).dependencies() == [hatch.NODE]
    monkeypatch.setenv("FENCEROW_SKIP_PAGES", "1")
    assert hook(hatch, root).dependencies() == []
    monkeypatch.delenv("FENCEROW_SKIP_PAGES")
    hook(hatch, root).initialize("standard", {})
    assert hook(hatch, root).dependencies() == []


def test_nothing_is_built_where_it_is_not_wanted(hatch, root, monkeypatch):
    hook(hatch, root).initialize("editable", {})
    monkeypatch.setenv("FENCEROW_SKIP_PAGES", "1")
    hook(hatch, root).initialize("standard", {})
    monkeypatch.delenv("FENCEROW_SKIP_PAGES")
    (root / "ui/package.json").unlink()
    hook(hatch, root).initialize("standard", {})
    hatch.build_pages(root)
    assert hatch.ran == []


def test_npm_and_node_are_where_the_hook_looks(hatch):
    assert hatch.npm_cli().is_file()
    assert hatch.node().is_file()
