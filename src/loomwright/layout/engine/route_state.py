"""All ways taken together: which edges are open, to whom, how full they are, and what that costs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from loomwright.layout.engine.route_jobs import Offer, Prepared, Taken
from loomwright.layout.route_bundle import fits

_SAME_G = 1e-7


class State:
    """Ways by job under one choice of the main leads, kept up to date move by move."""

    def __init__(self, ready: Prepared, shared: int, offers: Mapping[int, Sequence[Offer]]) -> None:
        """Start with nothing routed; `offers` has the options of every job by its place in `ready.jobs`."""
        self.ready = ready
        self.shared = shared
        self.offers = offers
        self.taken: dict[int, Taken] = {}
        self._users: list[tuple[set[int], set[int]]] = [(set(), set()) for _ in ready.edges]
        # How many runs pass over each edge on a drop or loose, opened or not.
        self._over: dict[int, int] = {}
        # By narrow edge which wires still go through it, as long as nobody comes or leaves.
        self._room: dict[int, dict[tuple[float, ...], bool]] = {i: {} for i in ready.tight}

    @property
    def cost(self) -> float:
        """What all of it costs [g], the main leads too."""
        own = sum(self.taken[job].own for job in sorted(self.taken))
        return own + self.opened_g() + self.ready.problem.shared_g[self.shared]

    @property
    def rank(self) -> tuple[int, float]:
        """Runs without a way first, then the cost: less is better."""
        left = sum(len(job.runs) for k, job in enumerate(self.ready.jobs) if k not in self.taken)
        return left, self.cost

    def opened_g(self) -> float:
        """Return what the open edges cost, with those who pass over them [g]."""
        ready, users = self.ready, self._users
        crossings = sum(runs for i, runs in self._over.items() if self._is_open(i))
        return ready.cross_g * crossings + sum(
            ready.open_g[i] + (ready.mix_g[i] if users[i][0] and users[i][1] else 0.0)
            for i in ready.shared
            if users[i][0] or users[i][1]
        )

    def users(self, edge: int) -> list[int]:
        """Return the jobs on an edge."""
        data, power = self._users[edge]
        return sorted(data | power)

    def open_edges(self) -> list[int]:
        """Return the edges that somebody uses."""
        return [i for i, (data, power) in enumerate(self._users) if data or power]

    def offer(self, job: int) -> Offer:
        """Return the option that a job takes."""
        return next(offer for offer in self.offers[job] if offer.option == self.taken[job].option)

    def put(self, job: int, taken: Taken) -> None:
        """Let a job take a way."""
        self.taken[job] = taken
        for i in taken.edges:
            self._users[i][self.ready.jobs[job].power].add(job)
            if i in self._room:
                self._room[i] = {}
            for passed in self.ready.over[i]:
                self._over[passed] = self._over.get(passed, 0) + len(self.ready.jobs[job].runs)

    def lift(self, job: int) -> Taken | None:
        """Take a job off its way, and return the way."""
        taken = self.taken.pop(job, None)
        for i in taken.edges if taken else ():
            self._users[i][self.ready.jobs[job].power].discard(job)
            if i in self._room:
                self._room[i] = {}
            for passed in self.ready.over[i]:
                self._over[passed] -= len(self.ready.jobs[job].runs)
        return taken

    def price(self, job: int) -> dict[int, float]:
        """Return what edges would cost beyond the job's own share, given who is there already; the others nothing.

        What passes over an edge counts too; only a way that passes over what it opens itself costs more in all.
        """
        ready, one = self.ready, self.ready.jobs[job]
        users, power = self._users, one.power
        price = {
            i: ready.mix_g[i] if users[i][not power] else ready.open_g[i] for i in ready.shared if not users[i][power]
        }
        for i, runs in self._over.items():
            if runs and not self._is_open(i):
                price[i] += ready.cross_g * runs
        for i, passed in one.over:
            price[i] = ready.cross_g * len(one.runs) * sum(map(self._is_open, passed))
        return price

    def shut(self, job: int, closed: frozenset[int] = frozenset()) -> list[frozenset[int]]:
        """Return, for each offer of a job, the edges that are closed or too full for it."""
        offers = self.offers[job]
        if not self._room:
            return [closed] * len(offers)
        return [closed.union(i for i in self._room if not self._takes(i, offer.wire_mm)) for offer in offers]

    def route(self, job: int, closed: frozenset[int] = frozenset()) -> bool:
        """Let a job that has no way take the cheapest one there is now; return whether there is one."""
        best = self._best(job, self.price(job), closed, math.inf)
        if best is not None:
            self.put(job, best)
        return best is not None

    def again(self, job: int) -> None:
        """Let a job take a cheaper way than its own where there is one now; without a way, any."""
        taken = self.lift(job)
        price = self.price(job)
        below = math.inf if taken is None else self._with_all_g(job, taken, price) - _SAME_G
        best = self._best(job, price, frozenset(), below) or taken
        if best is not None:
            self.put(job, best)

    def added_g(self, job: int) -> float:
        """Return what a job on its way costs, given all the others [g]."""
        taken = self.lift(job)
        if taken is None:
            return 0.0
        price_g = self._with_all_g(job, taken, self.price(job))
        self.put(job, taken)
        return price_g

    def copy(self) -> State:
        """Return another state with the same ways."""
        other = State(self.ready, self.shared, self.offers)
        for job, taken in self.taken.items():
            other.put(job, taken)
        return other

    def _with_all_g(self, job: int, taken: Taken, price: Mapping[int, float]) -> float:
        """Return what a way adds, by the prices that hold without it [g]."""
        passing = any(self.ready.over[i] for i in taken.edges)
        opened = {i for i in taken.edges if passing and not self._is_open(i)}
        itself = sum(passed in opened for i in taken.edges for passed in self.ready.over[i])
        crossings = itself * len(self.ready.jobs[job].runs)
        return taken.own + sum(price.get(i, 0.0) for i in taken.edges) + self.ready.cross_g * crossings

    def _is_open(self, edge: int) -> bool:
        return any(self._users[edge])

    def _best(self, job: int, price: Mapping[int, float], closed: frozenset[int], below: float) -> Taken | None:
        best = self.ready.best_way(
            self.ready.jobs[job],
            self.offers[job],
            price,
            self.shut(job, closed),
            lambda taken: self._with_all_g(job, taken, price),
            below,
        )
        return None if best is None else best[1]

    def _takes(self, edge: int, wire_mm: tuple[float, ...]) -> bool:
        """Whether wires go through a narrow edge beside those that are there."""
        known = self._room[edge]
        if wire_mm not in known:
            known[wire_mm] = fits([*self._wires(edge), *wire_mm], self.ready.edges[edge].capacity_m)
        return known[wire_mm]

    def _wires(self, edge: int) -> list[float]:
        return [mm for job in self.users(edge) for mm in self.offer(job).wire_mm]
