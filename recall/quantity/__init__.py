"""A cell's text into exact quantities: numbers, ranges, tolerances, comparators, units, durations."""

from recall.quantity.cell import read_cell, read_typed
from recall.quantity.header import HeaderParts, header_parts
from recall.quantity.model import Blank, Reading, Rule, Shape, Span, Unreadable, Words
from recall.quantity.number import Number, comma_decimals, step_of
from recall.quantity.show import canonical, shown
from recall.quantity.unit import (
    Unit,
    convert,
    find_unit,
    of_name,
    read_unit,
    referenced,
    same_reference,
    with_reference,
)

__all__ = [
    "Blank", "HeaderParts", "Number", "Reading", "Rule", "Shape", "Span", "Unit", "Unreadable", "Words", "canonical",
    "comma_decimals", "convert", "find_unit", "header_parts", "of_name", "read_cell", "read_typed", "read_unit",
    "referenced", "same_reference", "shown", "step_of", "with_reference",
]  # fmt: skip
