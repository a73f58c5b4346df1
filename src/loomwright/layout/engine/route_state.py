"""All ways taken together: which edges are open, to whom, how full they are, and what that costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from loomwright.layout.engine.route_jobs import Offer, Prepared, Taken
from loomwright.layout.route_bundle import fits


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
        ready = self.ready
        crossings = sum(runs for i, runs in self._over.items() if self._is_open(i))
        return ready.cross_g * crossings + sum(
            (ready.open_g[i] if data or power else 0.0) + (ready.mix_g[i] if data and power else 0.0)
            for i, (data, power) in enumerate(self._users)
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
            for passed in self.ready.over[i]:
                self._over[passed] = self._over.get(passed, 0) + len(self.ready.jobs[job].runs)

    def lift(self, job: int) -> Taken | None:
        """Take a job off its way, and return the way."""
        taken = self.taken.pop(job, None)
        for i in taken.edges if taken else ():
            self._users[i][self.ready.jobs[job].power].discard(job)
            for passed in self.ready.over[i]:
                self._over[passed] -= len(self.ready.jobs[job].runs)
        return taken

    def price(self, job: int) -> list[float]:
        """Return what each edge would cost beyond the job's own share, given who is there already.

        What passes over an edge counts too; only a way that passes over what it opens itself costs more in all.
        """
        ready, one = self.ready, self.ready.jobs[job]
        power = one.power
        opens = zip(self._users, ready.open_g, ready.mix_g, strict=True)
        price = [0.0 if users[power] else (mix if users[not power] else opened) for users, opened, mix in opens]
        for i, runs in self._over.items():
            if runs and not self._is_open(i):
                price[i] += ready.cross_g * runs
        for i, passed in one.over:
            price[i] += ready.cross_g * len(one.runs) * sum(map(self._is_open, passed))
        return price

    def shut(self, job: int, closed: frozenset[int] = frozenset()) -> list[frozenset[int]]:
        """Return, for each offer of a job, the edges that are closed or too full for it."""
        full: list[frozenset[int]] = []
        for offer in self.offers[job]:
            narrow = (
                i
                for i in self.ready.tight
                if not fits([*self._wires(i), *offer.wire_mm], self.ready.edges[i].capacity_m)
            )
            full.append(closed | frozenset(narrow))
        return full

    def route(self, job: int, closed: frozenset[int] = frozenset()) -> bool:
        """Let a job that has no way take the cheapest one there is now; return whether there is one."""
        price, one = self.price(job), self.ready.jobs[job]
        best = self.ready.best_way(
            one, self.offers[job], price, self.shut(job, closed), lambda taken: self._with_all_g(job, taken, price)
        )
        if best is not None:
            self.put(job, best[1])
        return best is not None

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

    def _with_all_g(self, job: int, taken: Taken, price: Sequence[float]) -> float:
        """Return what a way adds, by the prices that hold without it [g]."""
        opened = {i for i in taken.edges if not self._is_open(i)}
        itself = sum(passed in opened for i in taken.edges for passed in self.ready.over[i])
        crossings = itself * len(self.ready.jobs[job].runs)
        return taken.own + sum(price[i] for i in taken.edges) + self.ready.cross_g * crossings

    def _is_open(self, edge: int) -> bool:
        return any(self._users[edge])

    def _wires(self, edge: int) -> list[float]:
        return [mm for job in self.users(edge) for mm in self.offer(job).wire_mm]
