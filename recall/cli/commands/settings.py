"""`recall settings`: what a person has set."""

from typing import TYPE_CHECKING, Annotated, Any

from recall.base.dataclass import asdict
from recall.base.settings import SETTINGS
from recall.base.text import count
from recall.cli.options import JsonOption, StoreOption, argument, stored
from recall.cli.output import json_line, say, table

if TYPE_CHECKING:
    from recall.store import Store


EMPTY = {
    "checkride_on": "(none)",
    "days_off": "(none)",
    "checkride_for": "(odds with a blueprint, else recall)",
}
"""What an empty setting says; otherwise it takes in everything."""


def settings(
    name: Annotated[str | None, argument("A setting's name.")] = None,
    value: Annotated[str | None, argument("Its new value.")] = None,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Show the settings, or set one.

    Example: recall settings zone Atlantic/Faroe
    """
    from recall.base.errors import RecallError

    if name is not None:
        name = name.replace("-", "_")
    with stored(store, create=value is not None) as opened:
        if name is not None and value is not None:
            opened.set(name, value)
        known = asdict(opened.settings())
        said = _reach(opened) if name == "aircraft" and value is not None else ""
    if name is not None and name not in known:
        raise RecallError(f"there is no setting named `{name}`", "settings are: " + ", ".join(known))
    shown = {name: known[name]} if name is not None else known
    if json:
        json_line(shown)
        return
    rows = [
        (key, str(setting) or EMPTY.get(key, "(all)"), SETTINGS[key][0]) for key, setting in shown.items()
    ]
    table(rows, ("setting", "value", "meaning"))
    if said:
        say(said)


def _reach(store: "Store") -> str:
    """What to say of the aircraft that was set: a variant nobody declares, or how many cards are asked of it."""
    from recall.kinds.effectivity import undeclared

    records: list[Any] = [deck.record for deck in store.decks()]
    declared = {name: own for record in records for name, own in record.get("aircraft", {}).items()}
    if declared and (strange := undeclared(store.settings().aircraft, declared)):
        return (
            f"Caution: no loaded deck declares {', '.join(strange)}: declared are {', '.join(declared)}. "
            "Set one of them, or a serial number."
        )
    present, asking = store.rows("SELECT count(*), coalesce(sum(asking), 0) FROM card WHERE present = 1")[0]
    if not present:
        return ""
    if not asking:
        return (
            f"Caution: none of the {count(present, 'loaded card')} applies to that aircraft, so nothing will be "
            "asked. See how the notes name theirs in `Applies to`."
        )
    return f"{asking} of {count(present, 'loaded card')} apply to it."
