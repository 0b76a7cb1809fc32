"""Topics and points by how likely a miss is, in rows and sentences: the same behind every front end."""

from collections.abc import Iterator, Sequence
from datetime import datetime

from recall.base.dataclass import dataclass
from recall.base.text import count
from recall.insight.weak import FEW_ANSWERS, TopicRecord, by_system


@dataclass(frozen=True, slots=True)
class TopicRow:
    """A system, or a topic of the one above it. name: below its system; known: enough was answered to tell a rate."""

    record: TopicRecord
    name: str
    system: bool

    @property
    def known(self) -> bool:
        """Whether enough was answered to tell how well it is known."""
        return self.record.answers >= FEW_ANSWERS and self.record.recall is not None


def topic_rows(topics: Sequence[TopicRecord], most: int) -> Iterator[TopicRow]:
    """Systems with their topics under them, `most` topics in all; those of which little is known come last."""
    shown = sorted((one for one in topics if one.answers), key=_little)[:most]
    for system, own in sorted(by_system(topics), key=lambda pair: _little(pair[0])):
        below = [one for one in own if one in shown]
        if below:
            depth = len(system.topic)
            yield TopicRow(system, system.topic[-1], True)
            yield from (
                TopicRow(one, " / ".join(one.topic[depth:]), False) for one in below if len(one.topic) > depth
            )


def _little(one: TopicRecord) -> bool:
    return one.answers < FEW_ANSWERS


def little_told(topics: Sequence[TopicRecord]) -> Iterator[str]:
    """What isn't known yet."""
    asked = [one for one in topics if one.answers]
    if few := sum(map(_little, asked)):
        told = f"Little is known of {count(few, 'topic')} with fewer than {FEW_ANSWERS} answers"
        yield f"{told}: too early to call weak or well known."
    if unasked := len(topics) - len(asked):
        yield f"{count(unasked, 'topic has', 'topics have')} not been asked yet."


def moment_told(moment: datetime) -> str:
    """Which answers are counted, and for when recall is told."""
    when = f"{moment:%a} {moment.day} {moment:%b}, {moment:%H:%M}"
    return (
        "Right counts what was: a card's first answer of each day. Recall is what to expect on "
        f"{when}, of the cards asked, now that their answers were shown: the two may differ."
    )
