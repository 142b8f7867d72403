"""The pictures of README and docs: each is there, small, told in words, and taken by what takes them."""

import importlib.util
import re
import sys
from pathlib import Path

import pytest
from PIL import Image

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / "docs" / "pictures"
KB = 1024
SHOWN = [
    (page, words, (page.parent / address).resolve())
    for page in [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
    for words, address in re.findall(r"!\[([^\]]*)\]\(([^)\s]+)\)", page.read_text("utf-8"))
]


@pytest.fixture(scope="module")
def taken():
    pytest.importorskip("playwright")
    named = importlib.util.spec_from_file_location("take", PICTURES / "take.py")
    module = importlib.util.module_from_spec(named)
    before = list(sys.path)
    sys.modules["take"] = module
    named.loader.exec_module(module)
    sys.path[:] = before
    return module.PICTURES


@pytest.mark.parametrize(("page", "words", "file"), SHOWN, ids=[f"{page.stem}-{file.name}" for page, _, file in SHOWN])
def test_a_picture_is_there_and_told_in_words(page, words, file):
    assert file.is_file(), f"{page.name} shows {file.name}, which is not there"
    assert len(words) > 15, f"{page.name}: say in words what {file.name} shows"


def test_no_picture_lies_about_unused():
    lying = {file for file in PICTURES.rglob("*") if file.suffix in {".png", ".webp", ".svg"}}
    assert lying == {file for _, _, file in SHOWN if file.is_relative_to(PICTURES)}


def test_each_picture_of_the_desk_is_taken_by_its_name_and_small(taken):
    of_the_desk = {file for _, _, file in SHOWN if file.parent.name == "desk" or file.name == "desk.png"}
    assert of_the_desk == {PICTURES / name for name in taken}
    for file in of_the_desk:
        assert file.stat().st_size <= (400 if file.name == "desk.png" else 200) * KB
        with Image.open(file) as picture:
            assert picture.mode == "P"  # few colours
