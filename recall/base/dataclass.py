"""Data classes whose methods are made when the first of their objects is: a start pays for none that it doesn't need.

    from recall.base.dataclass import asdict, dataclass, field, fields, replace

They stand for those of the standard module, which writes and compiles five methods for each class that is defined:
half of what importing our modules took. Here a class has its slots at once, its fields with its first object, an
`__init__` of its own once it has some objects, and the rest from what all have in common. Of the options `eq`,
`frozen`, `kw_only` and `slots` are there.
That nothing is set in a frozen object is the type checker's to hold: so its objects are made at half the cost.
"""

import sys
from operator import attrgetter
from typing import TYPE_CHECKING, Any, ClassVar

if TYPE_CHECKING:
    from dataclasses import asdict as asdict
    from dataclasses import dataclass as dataclass
    from dataclasses import field as field
    from dataclasses import fields as fields
    from dataclasses import replace as replace
else:

    def dataclass(cls=None, /, **options):
        """As `dataclasses.dataclass`."""
        return _late(cls, **options) if cls is not None else lambda of: _late(of, **options)

    def field(**said):
        """As `dataclasses.field`."""
        return _Field(**said)

    def fields(of):
        """As `dataclasses.fields`, of a class too that has no object yet."""
        cls = of if isinstance(of, type) else type(of)
        _finish(cls)
        return cls.__fields__

    def replace(of, /, **changes):
        """As `dataclasses.replace`."""
        cls = type(of)
        given = {each.name: getattr(of, each.name) for each in cls.__fields__ if each.init}
        return cls(**given | changes)

    def asdict(of):
        """As `dataclasses.asdict`, of plain data."""
        return {each.name: _plain(getattr(of, each.name)) for each in fields(of)}


_NOT_GIVEN: Any = object()


class _Field:
    name = ""
    default = default_factory = _NOT_GIVEN
    init = repr = compare = True
    kw_only = False

    def __init__(self, **said: Any) -> None:
        self.__dict__.update(said)


_WAITING: dict[type, tuple[bool, dict[str, Any]]] = {}
"""Classes that have no object yet: whether fields are given by name alone, and what stands behind their names."""


def _late(
    cls: type, *, eq: bool = True, frozen: bool = False, kw_only: bool = False, slots: bool = False
) -> type:
    def first(self: Any, *args: Any, **named: Any) -> None:
        _finish(made)
        made.__init__(self, *args, **named)  # type: ignore[misc]

    methods: dict[str, Any] = {"__init__": first, "__repr__": _repr}
    if eq:
        methods |= {"__eq__": _eq, "__hash__": _hash if frozen else None}
    body = dict(vars(cls))
    methods = {name: method for name, method in methods.items() if name not in body}
    names = [name for name, kind in _annotations(cls).items() if not _of_the_class(kind)]
    said = {name: body.get(name, _NOT_GIVEN) for name in names}
    made = cls
    if slots:
        inherited = {name for base in cls.__mro__ for name in vars(base).get("__slots__", ())}
        for name in ("__dict__", "__weakref__", *names):
            body.pop(name, None)
        own = tuple(name for name in names if name not in inherited)
        made = type(cls)(cls.__name__, cls.__bases__, {**body, **methods, "__slots__": own})
        made.__qualname__ = cls.__qualname__
    else:
        for name, value in said.items():
            if isinstance(value, _Field):
                delattr(cls, name)
        for name, method in methods.items():
            setattr(cls, name, method)
    _WAITING[made] = kw_only, said
    return made


def _annotations(cls: type) -> dict[str, Any]:
    """What a class says of its fields. From Python 3.14 on it is looked up late (PEP 649), so that a method may
    hide a name in it: that is forgiven, as by the standard module."""
    if sys.version_info >= (3, 14):
        import annotationlib

        return annotationlib.get_annotations(cls, format=annotationlib.Format.FORWARDREF)
    found: dict[str, Any] = vars(cls).get("__annotations__", {})
    return found


def _of_the_class(annotation: Any) -> bool:
    if type(annotation) is str:
        return annotation.startswith("ClassVar")
    return annotation is ClassVar or getattr(annotation, "__origin__", None) is ClassVar


def _finish(cls: type) -> None:
    """Give a class its fields and its `__init__`, those that it inherits from first."""
    for base in reversed(cls.__mro__):
        if base not in _WAITING:
            continue
        kw_only, said = _WAITING.pop(base)
        every = {
            each.name: each for above in base.__mro__[:0:-1] for each in vars(above).get("__fields__", ())
        }
        for name, value in said.items():
            every[name] = each = value if isinstance(value, _Field) else _Field(default=value)
            each.name, each.kw_only = name, each.kw_only or kw_only
        compared = [each.name for each in every.values() if each.compare]
        made: Any = base
        made.__fields__ = tuple(every.values())
        made.__compared__ = attrgetter(*compared) if compared else lambda _: ()
        made.__init__ = _filled(made)


_FEW = 50
"""So many objects are filled field by field; for more it pays to compile."""


def _filled(cls: Any) -> Any:
    turns = iter(range(_FEW))
    order = [each.name for each in cls.__fields__ if each.init and not each.kw_only]

    def init(self: Any, *args: Any, **named: Any) -> None:
        given = dict(zip(order, args, strict=False)) | named
        wrong = len(given) != len(args) + len(named)
        for each in cls.__fields__:
            if each.init and each.name in given:
                value = given.pop(each.name)
            elif each.default is not _NOT_GIVEN:
                value = each.default
            elif each.default_factory is not _NOT_GIVEN:
                value = each.default_factory()
            else:
                wrong = wrong or each.init
                continue
            setattr(self, each.name, value)
        if wrong or given or next(turns, None) is None:
            cls.__init__ = _init_of(cls)
            cls.__init__(self, *args, **named)
        elif hasattr(cls, "__post_init__"):
            self.__post_init__()

    return init


def _init_of(cls: Any) -> Any:
    names: dict[str, Any] = {"_not_given": _NOT_GIVEN}
    given: list[str] = []
    by_name: list[str] = []
    body: list[str] = []
    for each in cls.__fields__:
        name, value, default = each.name, each.name, ""
        if each.default is not _NOT_GIVEN:
            names[f"_default_{name}"] = each.default
            default = f"=_default_{name}"
        if each.default_factory is not _NOT_GIVEN:
            names[f"_factory_{name}"] = each.default_factory
            default = "=_not_given"
            value = f"_factory_{name}() if {name} is _not_given else {name}"
        if each.init:
            (by_name if each.kw_only else given).append(name + default)
        elif each.default_factory is not _NOT_GIVEN:
            value = f"_factory_{name}()"
        elif default:
            value = f"_default_{name}"
        else:
            continue
        body.append(f"self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        body.append("self.__post_init__()")
    heads = ", ".join(["self", *given, *(["*", *by_name] if by_name else [])])
    exec(f"def __init__({heads}):\n " + "\n ".join(body or ["pass"]), names)
    return names["__init__"]


def _plain(value: Any) -> Any:
    if hasattr(value, "__fields__"):
        return asdict(value)
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    return type(value)(map(_plain, value)) if isinstance(value, list | tuple) else value


def _repr(self: Any) -> str:
    shown = ", ".join(f"{each.name}={getattr(self, each.name)!r}" for each in self.__fields__ if each.repr)
    return f"{type(self).__qualname__}({shown})"


def _eq(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self.__compared__(self) == self.__compared__(other)


def _hash(self: Any) -> int:
    return hash(self.__compared__(self))
