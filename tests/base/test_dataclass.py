"""Data classes that are finished when the first of them is made: they behave as the standard module's."""

import ast
import dataclasses
from collections.abc import Callable
from copy import deepcopy
from functools import cached_property
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import ClassVar

import pytest

import recall
from recall.base import dataclass as late

TOP = Path(recall.__file__).parent


def classes(module: ModuleType, made: int = 0) -> SimpleNamespace:
    """The same classes by one decorator or the other. made: so many objects of each exist already."""
    of, field = module.dataclass, module.field

    @of(frozen=True, slots=True)
    class Place:
        """Where."""

        many: ClassVar[int] = 7
        file: str
        line: int = 1
        written: str = field(default="", compare=False)
        near: tuple[str, ...] = ()

        def __post_init__(self) -> None:
            if self.line < 0:
                raise ValueError("line")

    @of(frozen=True, slots=True)
    class Spot(Place):
        """More closely."""

        column: int = 1

    @of(slots=True)
    class Heap:
        """Grows."""

        head: str
        rows: list[int] = field(default_factory=list)
        later: int = field(init=False, repr=False)

    @of(frozen=True)
    class Held:
        """With a value that is worked out once."""

        size: int

        @cached_property
        def twice(self) -> int:
            """Twice."""
            return 2 * self.size

    @of(frozen=True, slots=True, kw_only=True)
    class Named:
        """By name alone."""

        least: int
        most: int = 9

    @of(eq=False)
    class Own:
        """Equal to itself alone."""

        size: int = 1

    for _ in range(made):
        Place("a"), Spot("a"), Heap("a"), Held(1), Named(least=1), Own()
    return SimpleNamespace(Place=Place, Spot=Spot, Heap=Heap, Held=Held, Named=Named, Own=Own)


BOTH = [
    pytest.param(dataclasses, 0, id="standard"),
    pytest.param(late, 0, id="late, its first objects"),
    pytest.param(late, 100, id="late, once compiled"),
]


@pytest.mark.parametrize(("of", "made_before"), BOTH)
def test_it_behaves_as_the_standard_one(of: ModuleType, made_before: int) -> None:
    """Fields, defaults, equality, hashes, slots, copies, inheritance and what is printed."""
    made = classes(of, made_before)
    place, spot, heap = made.Place("a", 2, "x", ("b",)), made.Spot("a", column=3), made.Heap("h")

    assert place == made.Place("a", 2, "y", ("b",))
    assert hash(place) == hash(made.Place("a", 2, near=("b",)))
    assert place != made.Place("a", 2)
    assert made.Place("a") != made.Spot("a")
    assert place != "a"
    assert ("a", 1, "", (), 3, 7) == (
        spot.file,
        spot.line,
        spot.written,
        spot.near,
        spot.column,
        made.Spot.many,
    )
    assert [] == heap.rows
    assert heap.rows is not made.Heap("h").rows
    assert not hasattr(heap, "later")
    assert not hasattr(place, "__dict__")
    assert not hasattr(spot, "__dict__")
    assert "Heap(head='h', rows=[])" == repr(heap).rpartition(".")[2]
    assert made.Place("a", 5, "x", ("b",)) == of.replace(place, line=5)
    assert (place, made.Held(4)) == (deepcopy(place), deepcopy(made.Held(4)))
    assert {"file": "a", "line": 1, "written": "", "near": (), "column": 3} == of.asdict(spot)
    assert (8, 8) == (made.Held(4).twice, made.Held(size=4).twice)
    assert made.Named(least=1) == made.Named(most=9, least=1)
    assert made.Own() != made.Own()
    assert made.Heap.__hash__ is None


@pytest.mark.parametrize(("of", "made_before"), BOTH)
def test_what_is_wrong_is_refused(of: ModuleType, made_before: int) -> None:
    """By the same errors."""
    wrong: list[tuple[type[Exception], Callable[[SimpleNamespace], object]]] = [
        (TypeError, lambda made: made.Place()),
        (TypeError, lambda made: made.Place("a", colour=1)),
        (TypeError, lambda made: made.Place("a", file="b")),
        (TypeError, lambda made: made.Own(1, 2)),
        (TypeError, lambda made: made.Named(1)),
        (ValueError, lambda made: made.Place("a", -1)),
        (AttributeError, lambda made: setattr(made.Heap("h"), "colour", 3)),
        (TypeError, lambda made: hash(made.Heap("h"))),
    ]
    for error, attempt in wrong:
        with pytest.raises(error):
            attempt(classes(of, made_before))


def test_its_fields_are_known_before_there_is_one() -> None:
    """Also of a class that inherits from one that has no object yet."""
    made = classes(late)

    assert ["file", "line", "written", "near", "column"] == [each.name for each in late.fields(made.Spot)]


def eager(text: str) -> bool:
    """Whether a module takes anything of the standard one, which writes all methods at once and knows no others."""
    return any(
        isinstance(node, ast.ImportFrom) and node.module == "dataclasses"
        for node in ast.walk(ast.parse(text))
    )


def test_all_classes_are_finished_late() -> None:
    """No module takes anything of the standard one but that which stands for it; one that does is seen."""
    taken = [path.name for path in TOP.rglob("*.py") if eager(path.read_text(encoding="utf-8"))]

    assert ["dataclass.py"] == taken
    assert eager("from dataclasses import replace\n")
