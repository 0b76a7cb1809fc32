"""Expressions that are compiled late."""

import gc
import pkgutil
import re
from functools import cache
from importlib import import_module
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import recall
from recall.base import regex

TOP = Path(recall.__file__).parent
OF_BYTES = {"base/regex.py", "publish/sign.py", "store/merge.py"}
_PLAIN = re.compile(r"^(?:import re\b(?! as)|from re import)", re.MULTILINE)


@cache
def every() -> list[regex.Late]:
    """All expressions of the program."""
    for module in pkgutil.walk_packages(recall.__path__, "recall."):
        if not module.name.endswith("__main__"):
            import_module(module.name)
    return [each for each in gc.get_objects() if type(each) is regex.Late]


def holding() -> list[regex.Late]:
    """Those that tell by a word whether they are needed."""
    return sorted((each for each in every() if each.holds), key=lambda each: each.pattern)


def eager(files: dict[str, str]) -> list[str]:
    """Files whose expressions are compiled when they are imported."""
    return [name for name, text in files.items() if _PLAIN.search(text) and name not in OF_BYTES]


def test_every_expression_of_the_program_compiles() -> None:
    """No expression waits with a mistake until it is used."""
    for each in every():
        assert each.flags >= 0

    assert len(every()) > 200


def test_no_module_compiles_as_it_is_imported() -> None:
    """All take their expressions from where they are compiled late; those of bytes are few."""
    files = {path.relative_to(TOP).as_posix(): path.read_text(encoding="utf-8") for path in TOP.rglob("*.py")}

    assert [] == eager(files)
    assert ["x.py"] == eager(
        {"x.py": "import json\nimport re\n", "y.py": "from recall.base import regex as re\n"}
    )


@settings(max_examples=250, deadline=None)
@given(st.data())
def test_no_word_is_missing_from_what_an_expression_holds(data: st.DataObject) -> None:
    """Whatever it finds holds one of its words, so that it is never passed over for nothing."""
    late = data.draw(st.sampled_from(holding()))
    usual = re.compile(late.pattern, late.flags & re.IGNORECASE)
    text = data.draw(st.from_regex(usual, fullmatch=True, alphabet=st.characters(exclude_characters="ıİſ")))
    again = regex.Late(late.pattern, late.flags & re.IGNORECASE, late.holds)

    assert (usual.fullmatch(text) is None) == (again.fullmatch(text) is None)


def test_a_missing_word_is_seen() -> None:
    """Without its word an expression finds nothing, as one finds nothing that isn't there."""
    late = regex.any_case("oil|fuel", holds=("oil",))

    assert late.search("fuel") is None
    assert [] == late.findall("fuel") == list(late.finditer("fuel"))
    assert ["fuel"] == late.split("fuel")
    assert "fuel" == late.sub("x", "fuel")
    assert ["OIL", "Fuel"] == late.findall("OIL Fuel")
    assert ["fuel"] == late.findall("fuel")


def test_it_is_used_as_any_other() -> None:
    """Its methods and its pattern are the compiled one's, before and after the first use."""
    late, usual = regex.compile("(a+)(b)?", re.IGNORECASE), re.compile("(a+)(b)?", re.IGNORECASE)

    assert usual.pattern == late.pattern
    for _ in range(2):
        assert usual.fullmatch("AAB").groups() == late.fullmatch("AAB").groups()  # type: ignore[union-attr]
        assert usual.sub("x", "aabca") == late.sub("x", "aabca")
        assert usual.split("caabc") == late.split("caabc")
        assert usual.findall("ab a") == late.findall("ab a")
    assert late is regex.compile(late)
    assert usual is regex.compile(usual)


def test_a_wrong_one_says_so_when_it_is_used() -> None:
    """A mistake in an expression shows at its first use."""
    late = regex.compile("(")
    with pytest.raises(re.error):
        late.match("x")
