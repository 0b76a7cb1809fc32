"""All kinds, in order: where a table fits two equally, the first takes it."""

from recall.kinds.abbreviation import Abbreviation
from recall.kinds.consequence import Consequence
from recall.kinds.flow import Flow
from recall.kinds.indication import Indication
from recall.kinds.interlock import Interlock
from recall.kinds.limit import Limit
from recall.kinds.memory_item import MemoryItem
from recall.kinds.model import Kind
from recall.kinds.question import Question
from recall.kinds.setting import Setting
from recall.kinds.supply import Supply

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
