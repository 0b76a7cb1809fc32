"""In which order cards are put."""

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from recall.session.order import AGAIN_AFTER, APART, Order, Waiting


def _waiting(name: str, point: str = "", topic: str = "Fuel", unasked: bool = False) -> Waiting:
    return Waiting(name, point or name, (topic,), unasked)


def _all(order: Order) -> list[Waiting]:
    put = []
    while (one := order.next()) is not None:
        put.append(one)
    return put


def test_due_cards_come_before_unasked_ones() -> None:
    """What was known is saved before anything is begun."""
    order = Order.of([_waiting("a"), _waiting("b")], [_waiting("c", unasked=True)])

    assert [False, False, True] == [one.unasked for one in _all(order)]


def test_topics_are_mixed() -> None:
    """Two topics alternate as long as both have cards."""
    due = [_waiting(f"f{at}", topic="Fuel") for at in range(5)] + [
        _waiting(f"g{at}", topic="Gear") for at in range(5)
    ]
    topics = [one.topic[0] for one in _all(Order.of(due, []))]

    assert all(one != two for one, two in itertools.pairwise(topics))


def test_a_confusable_card_follows_soon() -> None:
    """Two cards that were confused are asked near each other."""
    due = [_waiting("x")] + [_waiting(f"c{at}", topic=f"T{at}") for at in range(20)]
    due.append(_waiting("y", topic="Gear"))
    order = Order.of(due, [])
    order.near = lambda card: ["x"] if card == "y" else []
    names = [one.card for one in _all(order)]

    assert names.index("y") - names.index("x") <= 4


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 6), st.integers(0, 3), st.booleans()), max_size=40),
    st.sets(st.integers(0, 39)),
)
def test_every_card_is_put_once_and_missed_ones_again(
    cards: list[tuple[int, int, bool]], missed: set[int]
) -> None:
    """Nothing is lost and nothing is put twice but what was missed, and that after five others where there are."""
    waiting = [
        _waiting(f"{at}", f"p{point}", f"t{topic}", new) for at, (point, topic, new) in enumerate(cards)
    ]
    order = Order.of([one for one in waiting if not one.unasked], [one for one in waiting if one.unasked])
    put: list[str] = []
    while (one := order.next()) is not None:
        if int(one.card) in missed and put.count(one.card) == 0:
            order.missed(one)
        put.append(one.card)

    assert sorted([*put]) == sorted(
        [one.card for one in waiting] + [str(at) for at in missed if at < len(cards)]
    )
    for at in missed:
        if at < len(cards):
            first = put.index(str(at))
            again = put.index(str(at), first + 1)
            assert again - first > AGAIN_AFTER or again >= len(put) - len(missed) - AGAIN_AFTER


def test_cards_of_one_point_stand_apart() -> None:
    """Three other questions stand between two sides of one point, as long as there are others."""
    due = [_waiting(f"{point}{side}", point, f"T{point}") for point in "abcdefgh" for side in "12"]
    points = [one.point for one in _all(Order.of(due, []))]

    assert all(points[at] not in points[at + 1 : at + 1 + APART] for at in range(8))


def test_cards_that_go_first_do_whatever_their_topic() -> None:
    """Changed points of one topic stand before due ones of others, their sides apart as long as others wait."""
    first = [Waiting(f"c{at}", f"p{at}", ("Fuel",), first=2 if at < 2 else 1) for at in range(4)]
    due = [_waiting(f"d{at}", topic=f"T{at}") for at in range(8)]
    names = [one.card for one in _all(Order.of([*first, *due], []))]
    sides = [Waiting(f"s{at}", "one", ("Fuel",), first=1) for at in range(2)]
    apart = [one.card for one in _all(Order.of([*sides, *due], []))]

    assert [{"c0", "c1"}, {"c2", "c3"}] == [set(names[:2]), set(names[2:4])]
    assert [0, APART + 1] == [apart.index("s0"), apart.index("s1")]


def test_a_card_taken_back_is_put_next_beside_its_own_point() -> None:
    """Another side of its point was put just before, and it comes next all the same."""
    order = Order.of([_waiting("a1", "a"), _waiting("a2", "a"), _waiting("b")], [])
    put = _all(order)
    order.take_back(put[-1])

    assert ["a1", "b", "a2"] == [one.card for one in put]
    assert put[-1] == order.next()
