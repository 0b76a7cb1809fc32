"""All kinds, in order: where a table fits two equally, the first takes it."""

from recall.kinds.each.abbreviation import Abbreviation
from recall.kinds.each.consequence import Consequence
from recall.kinds.each.flow import Flow
from recall.kinds.each.indication import Indication
from recall.kinds.each.interlock import Interlock
from recall.kinds.each.limit import Limit
from recall.kinds.each.memory_item import MemoryItem
from recall.kinds.each.question import Question
from recall.kinds.each.setting import Setting
from recall.kinds.each.supply import Supply
from recall.kinds.kind import Kind

KINDS: tuple[Kind, ...] = (
    Limit(),
    Abbreviation(),
    Interlock(),
    Consequence(),
    Supply(),
    Setting(),
    Indication(),
    Flow(),
    MemoryItem(),
    Question(),
)
