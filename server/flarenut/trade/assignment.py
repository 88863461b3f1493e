"""The assignment problem: each row gets a column of its own, at the least total cost."""


class Match:
    """The match with the least total cost.

    Valid for   finite costs of any sign, rows all of one length, no more rows than columns
    Formula     rows are added one by one; each takes the shortest augmenting path over costs
                less prices, then prices are set so that none of those is negative;
                O(rows^2 * columns)                                              [A]
    Inputs      costs                    costs[row][column]
    Returns     columns: for each row its column
    Source A    successive shortest paths with potentials, textbook method (M); checked against
                an independent solver in the tests
    """

    def __init__(self, costs: list[list[float]]) -> None:
        self.costs = costs
        self.rows = [-1] * len(costs[0])
        self.prices = [0.0] * len(costs[0])
        self.levels = [0.0] * len(costs)
        for row in range(len(costs)):
            path = _Path(self, row=row, costs=costs[row], end=-1)
            self._set_prices(path, row=row)
            self._hand_over(path, row=row)
        self.columns = [self.rows.index(row) for row in range(len(costs))]

    def detour(self, row: int, *, costs: list[float]) -> tuple[float, int]:
        """How much more the best match costs if one row has other costs, and what it then has.

        Valid for   as many rows as columns, and costs nowhere below those of the row
        Formula     the shortest path from the row back to the column it has, over costs less
                    prices: exact, and O(columns^2) in place of solving anew      [A]
        Returns     extra total cost, never negative; column of the row
        Source A    duality of the assignment problem (H)
        """
        path = _Path(self, row=row, costs=costs, end=row)
        column = path.last
        while path.before[column] >= 0:
            column = path.before[column]
        return max(0.0, path.far[path.last]), column

    def _set_prices(self, path: "_Path", *, row: int) -> None:
        total = path.far[path.last]
        self.levels[row] += total
        for column in path.settled:
            spare = total - path.far[column]
            self.prices[column] -= spare
            self.levels[self.rows[column]] += spare

    def _hand_over(self, path: "_Path", *, row: int) -> None:
        """Along the path each column goes to the row that the column before it had."""
        column = path.last
        while column >= 0:
            before = path.before[column]
            self.rows[column] = row if before < 0 else self.rows[before]
            column = before


class _Path:
    """The shortest path from a row to a column of the row `end`, -1 for a free one."""

    def __init__(self, match: Match, *, row: int, costs: list[float], end: int) -> None:
        self.far = far = [float("inf")] * len(costs)
        self.before = before = [-1] * len(costs)
        self.settled: list[int] = []
        prices = match.prices
        waiting = list(range(len(costs)))
        last = -1
        reached = 0.0
        while True:
            level = reached - match.levels[row]
            nearest = waiting[0]
            for column in waiting:
                distance = level + costs[column] - prices[column]
                if distance < far[column]:
                    far[column] = distance
                    before[column] = last
                if far[column] < far[nearest]:
                    nearest = column
            last = nearest
            row = match.rows[last]
            if row == end:
                break
            reached = far[last]
            waiting.remove(last)
            self.settled.append(last)
            costs = match.costs[row]
        self.last = last
