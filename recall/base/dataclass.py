"""Data classes whose methods are made when the first of their objects is: a start pays for none that it doesn't need.

    from recall.base.dataclass import dataclass

It stands for the decorator of the standard module, which writes and compiles five methods for each class that is
defined: half of what importing our modules took. Here a class has its slots at once, its fields and `__init__` with
its first object, and the rest from what all have in common. `asdict`, `field` and `replace` are the standard ones.
"""

import dataclasses
import sys
from dataclasses import asdict as asdict
from dataclasses import field as field
from dataclasses import replace as replace
from operator import attrgetter
from typing import TYPE_CHECKING, Any, ClassVar, get_origin

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
    from dataclasses import fields as fields
else:

    def dataclass(cls=None, /, **options):
        """As `dataclasses.dataclass`, of which it takes `eq`, `frozen`, `kw_only`, `order` and `slots`."""
        return _late(cls, **options) if cls is not None else lambda of: _late(of, **options)

    def fields(of):
        """As `dataclasses.fields`, of a class too that has no object yet."""
        _finish(of if isinstance(of, type) else type(of))
        return dataclasses.fields(of)


_WAITING: dict[type, tuple[bool, dict[str, Any], dict[str, Any]]] = {}
"""Classes that have no object yet: whether they are frozen, the defaults of their slots, what the standard decorator
is told."""
_NOT_GIVEN: Any = object()


def _late(
    cls: type,
    *,
    eq: bool = True,
    frozen: bool = False,
    kw_only: bool = False,
    order: bool = False,
    slots: bool = False,
) -> type:
    def first(self: Any, *args: Any, **named: Any) -> None:
        _finish(made)
        made.__init__(self, *args, **named)  # type: ignore[misc]

    methods: dict[str, Any] = {"__init__": first, "__repr__": _repr}
    if eq:
        methods |= {"__eq__": _eq, "__hash__": _hash if frozen else None}
    if frozen:
        methods |= {"__setattr__": _set_frozen, "__delattr__": _del_frozen, "__setstate__": _set_state}
    methods = {name: method for name, method in methods.items() if name not in vars(cls)}
    if not cls.__doc__:
        methods["__doc__"] = cls.__name__  # else the standard decorator makes one, which is dear
    defaults: dict[str, Any] = {}
    made = cls
    if slots:
        body = dict(vars(cls))
        inherited = {name for base in cls.__mro__ for name in vars(base).get("__slots__", ())}
        names = [name for name, kind in _annotations(cls).items() if not _of_the_class(kind)]
        defaults = {name: body.pop(name) for name in names if name in body}
        for name in ("__dict__", "__weakref__"):
            body.pop(name, None)
        own = tuple(name for name in names if name not in inherited)
        made = type(cls)(cls.__name__, cls.__bases__, {**body, **methods, "__slots__": own})
        made.__qualname__ = cls.__qualname__
    else:
        for name, method in methods.items():
            setattr(cls, name, method)
    _WAITING[made] = frozen, defaults, {"eq": order, "order": order, "kw_only": kw_only}
    return made


def _annotations(cls: type) -> dict[str, Any]:
    """What a class says of its fields. From Python 3.14 on it is looked up late (PEP 649), so that a method may
    hide a name in it: that is forgiven, as by the standard module."""
    if sys.version_info >= (3, 14):
        import annotationlib

        return annotationlib.get_annotations(cls, format=annotationlib.Format.FORWARDREF)
    return cls.__annotations__


def _of_the_class(annotation: Any) -> bool:
    if type(annotation) is str:
        return annotation.startswith("ClassVar")
    return annotation is ClassVar or get_origin(annotation) is ClassVar


def _finish(cls: type) -> None:
    """Give a class its fields and its `__init__`, those that it inherits from first."""
    for base in reversed(cls.__mro__):
        if base not in _WAITING:
            continue
        frozen, defaults, options = _WAITING.pop(base)
        members = {name: vars(base).get(name, _NOT_GIVEN) for name in defaults}
        for name, value in defaults.items():
            setattr(base, name, value)
        dataclasses.dataclass(init=False, repr=False, **options)(base)
        for name, member in members.items():
            if member is not _NOT_GIVEN:
                setattr(base, name, member)
            elif name in vars(base):
                delattr(base, name)
        compared = [each.name for each in dataclasses.fields(base) if each.compare]
        base.__compared__ = attrgetter(*compared) if compared else lambda _: ()  # type: ignore[attr-defined]
        base.__init__ = _init_of(base, frozen)  # type: ignore[misc]


def _init_of(cls: type, frozen: bool) -> Any:
    names: dict[str, Any] = {"_set": object.__setattr__, "_not_given": _NOT_GIVEN}
    given: list[str] = []
    by_name: list[str] = []
    body: list[str] = []
    for each in dataclasses.fields(cls):
        name, value, factory = each.name, each.name, each.default_factory
        default = "" if each.default is dataclasses.MISSING else f"=_default_{name}"
        if default:
            names[f"_default_{name}"] = each.default
        if factory is not dataclasses.MISSING:
            names[f"_factory_{name}"] = factory
            default = "=_not_given"
            value = f"_factory_{name}() if {name} is _not_given else {name}"
        if each.init:
            (by_name if each.kw_only else given).append(name + default)
        elif factory is not dataclasses.MISSING:
            value = f"_factory_{name}()"
        elif default:
            value = f"_default_{name}"
        else:
            continue
        body.append(f"_set(self, {name!r}, {value})" if frozen else f"self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        body.append("self.__post_init__()")
    heads = ", ".join(["self", *given, *(["*", *by_name] if by_name else [])])
    exec(f"def __init__({heads}):\n " + "\n ".join(body or ["pass"]), names)
    return names["__init__"]


def _repr(self: Any) -> str:
    shown = ", ".join(
        f"{each.name}={getattr(self, each.name)!r}" for each in dataclasses.fields(self) if each.repr
    )
    return f"{type(self).__qualname__}({shown})"


def _eq(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self.__compared__(self) == self.__compared__(other)


def _hash(self: Any) -> int:
    return hash(self.__compared__(self))


def _set_frozen(self: Any, name: str, _: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _del_frozen(self: Any, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _set_state(self: Any, state: Any) -> None:
    """For copies: what an object holds, in its dictionary or its slots."""
    for part in state if isinstance(state, tuple) else (state,):
        for name, value in (part or {}).items():
            object.__setattr__(self, name, value)
