"""Cells read a second, beside the least that any reader must do: fold blanks, find digits, make one exact decimal.

Run: python tests/bench/bench_quantity.py
"""

import re
import time
from collections.abc import Callable
from decimal import Decimal

from recall.quantity import Reading, find_unit, read_cell

ROWS = 20_000
_DIGITS = re.compile(r"[0-9]+(?:\.[0-9]+)?")
FORMS = (
    "{}",
    "{} psi",
    "{} to 99999 psi",
    "{} max",
    "-{}.5 °C",
    "{} min, 99999 max",
    "{} ± 2 V",
    "{} psi (5 min)",
)


def least(text: str) -> Decimal | None:
    """The floor to compare with."""
    found = _DIGITS.search(" ".join(text.split()))
    return Decimal(found.group()) if found else None


def seconds(work: Callable[[str], object], cells: list[str]) -> float:
    """Processor seconds for all cells, each seen once."""
    start = time.process_time()
    for cell in cells:
        work(cell)
    return time.process_time() - start


def main() -> None:
    """Print one line a form, then the mixture."""
    psi = find_unit("psi")
    for form in (*FORMS, "(mixture)"):
        forms = FORMS if form == "(mixture)" else (form,)
        cells = [forms[row % len(forms)].format(row + 10) for row in range(ROWS)]
        unit = psi if form in ("{}", "{} max", "{} min, 99999 max") else None
        if form != "(mixture)":
            assert isinstance(read_cell(cells[0], header_unit=unit), Reading), cells[0]
        floor = seconds(least, cells)
        ours = seconds(lambda text, unit=unit: read_cell(text, header_unit=unit), cells)  # type: ignore[misc]
        print(f"{form:22} {ours / ROWS * 1e6:7.1f} µs a cell   {ours / floor:6.1f} × the floor")


if __name__ == "__main__":
    main()
