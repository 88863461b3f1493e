"""An order in which every task comes after what it needs, or an error naming the loop."""

from . import ranges


def in_order(ids: list[str], *, needs: list[list[str]], field: str) -> list[int]:
    """Positions of `ids` so that needs come first; ties keep the order given.

    Raises      contradictory for a doubled id and for a cycle, not_a_choice for an unknown need
    """
    position = _positions(ids, field=field)
    waiting: list[int] = []
    feeds: list[list[int]] = [[] for _ in ids]
    for index, names in enumerate(needs):
        _check_known(names, position=position, field=field, index=index, ids=ids)
        waiting.append(len(names))
        for name in names:
            feeds[position[name]].append(index)
    order = [index for index, count in enumerate(waiting) if count == 0]
    # The list grows while it is read: it is the queue and the answer at once.
    for index in order:
        for later in feeds[index]:
            waiting[later] -= 1
            if waiting[later] == 0:
                order.append(later)
    if len(order) < len(ids):
        raise _cycle(ids, needs=needs, position=position, waiting=waiting, field=field)
    return order


def _positions(ids: list[str], *, field: str) -> dict[str, int]:
    position: dict[str, int] = {}
    for index, name in enumerate(ids):
        if name in position:
            raise ranges.contradictory(
                ranges.place(field, index=index) + ".id",
                message=name + " is in the list twice",
            )
        position[name] = index
    return position


def _check_known(
    names: list[str], *, position: dict[str, int], field: str, index: int, ids: list[str]
) -> None:
    for name in names:
        if name not in position:
            raise ranges.InputError(
                "not_a_choice",
                field=ranges.place(field, index=index) + ".needs",
                message=ids[index] + " needs " + name + ", which is not in the list",
            )


def _cycle(
    ids: list[str],
    *,
    needs: list[list[str]],
    position: dict[str, int],
    waiting: list[int],
    field: str,
) -> ranges.InputError:
    """Walk backwards among the tasks that never became free until one repeats."""
    stuck = [index for index, count in enumerate(waiting) if count > 0]
    path = [stuck[0]]
    while True:
        for name in needs[path[-1]]:
            if waiting[position[name]] > 0:
                break
        found = position[name]
        if found in path:
            loop = path[path.index(found) :]
            loop.append(found)
            break
        path.append(found)
    names_of_loop = " needs ".join([ids[index] for index in loop])
    return ranges.contradictory(
        ranges.place(field, index=found) + ".needs", message=names_of_loop + ": a cycle"
    )
