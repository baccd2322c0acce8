"""From rows to a sphere: folding, repeats, poles, floor, range loss, gaps and their bounds. Nothing here integrates."""

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from cases import AT_LEAST, AT_MOST, ETA0_OHM

SENSITIVITIES = ("eis", "level")


class Sphere:
    """What integrates: EIRP in W, gain, or 1/EIS in 1/W.

    `value`, `shown`, `lower`, `upper` (polarisations, rings, columns); `read` says where something was read. `upper` is infinite where nothing bounds a gap.
    `gaps` has (polarisation, cells, share of the sphere, largest border value, rises) of each gap.
    """

    def __init__(self, case, rows=None):
        theta, phi, values = rows or (case.theta_deg, case.phi_deg, case.values)
        self.n, self.m, self.polarisations = case.intervals, case.columns, values.shape[1]
        self.start_deg, self.total = case.start_deg, case.total
        self.floor_w = case.floor_w
        theta, phi, sign = folded(theta, phi)
        ring = np.rint(theta * self.n / 180.0).astype(int)
        column = np.rint((phi - case.start_deg) * self.m / 360.0).astype(int) % self.m
        if case.quantity.startswith("field"):
            self._from_field(case, ring, column, values * sign[:, None])
        else:
            linear = values
            if case.unit == "dB":
                linear = 10.0 ** (values / 10.0) * (1.0 if case.quantity == "gain" else 1e-3)
            if case.quantity in SENSITIVITIES:
                linear = 1.0 / linear
            self._from_power(case, ring, column, *marked(case, linear))
        self.gaps = [gap for p in range(self.polarisations) for gap in self._find_gaps(p)]
        self.marked = bool(case.marks.any())
        if not self.marked:
            self.lower, self.upper = self.value, self.value
        self.lower = np.where(self.read, self.lower, 0.0)
        self.upper = np.where(self.read, self.upper, np.inf)
        for p, cells, _, border, rises in self.gaps:
            for i, j in cells:
                at = (p, i, slice(None) if i in (0, self.n) else j)
                self.upper[at] = np.inf if rises else max(border, 0.0)

    def _mean(self, ring, column, values):
        """Mean of the rows of each direction, and where there are any."""
        shape = (self.polarisations, self.n + 1, self.m)
        total, count = np.zeros(shape, dtype=values.dtype), np.zeros(shape)
        for p in range(self.polarisations):
            there = ~np.isnan(values[:, p])
            np.add.at(total[p], (ring[there], column[there]), values[there, p])
            np.add.at(count[p], (ring[there], column[there]), 1.0)
        return np.where(count > 0, total / np.maximum(count, 1.0), 0.0), count > 0

    def _from_power(self, case, ring, column, linear, low, high):
        value, read = self._mean(ring, column, linear)
        factor = 10.0 ** (np.array(case.loss_db) / 10.0)[: self.polarisations, None, None]
        # A pole is one direction: the mean over the columns at which both polarisations were read, on all columns.
        for pole in (0, self.n):
            both = read[:, pole].all(0)
            if both.any():
                value[:, pole] = value[:, pole][:, both].mean(1)[:, None]
                read[:, pole] = True
        self.shown = value * factor
        if case.floor_w is not None:
            of_floor = np.array(case.floor_w)[:, None, None]
            self.floor_w = tuple(np.array(case.floor_w) * factor[:, 0, 0])
            value = value - of_floor
        value = value * factor
        for pole in (0, self.n):
            if self.polarisations == 2 and read[:, pole].all():
                # Half of the total in each polarisation.
                value[:, pole] = value[:, pole].mean(0)
                if case.loss_db == (0.0, 0.0):
                    self.shown[:, pole] = self.shown[:, pole].mean(0)
        self.value, self.read = np.where(read, value, 0.0), read
        if case.marks.any():
            ends = [self._mean(ring, column, end)[0] * factor for end in (low, high)]
            for end in ends:
                end[:, [0, self.n]] = self.value[:, [0, self.n]]
            self.lower, self.upper = ends

    def _from_field(self, case, ring, column, field):
        value, read = self._mean(ring, column, field)
        power = np.abs(value) ** 2
        for pole, side in ((0, 1.0), (self.n, -1.0)):
            if not read[:, pole].all(0).any():
                continue
            # The vector at a pole is one: its Cartesian components, at each phi from the mean of the readings there, are averaged over phi.
            both = read[:, pole].all(0)
            angle = np.radians(case.start_deg + 360.0 * np.flatnonzero(both) / self.m)
            along, across = value[:, pole][:, both]
            x = side * along * np.cos(angle) - across * np.sin(angle)
            y = side * along * np.sin(angle) + across * np.cos(angle)
            power[:, pole] = (abs(x.mean()) ** 2 + abs(y.mean()) ** 2) / 2.0
            read[:, pole] = True
        if case.quantity == "field_v":
            power = power * 4.0 * np.pi / ETA0_OHM
        self.value, self.shown, self.read = power, power, read

    def share(self):
        """Share of the whole sphere that a direction of each ring stands for; a pole's all columns together."""
        edge = np.clip(np.arange(-0.5, self.n + 1), 0, self.n) * np.pi / self.n
        of_rings = -np.diff(np.cos(edge)) / 2.0
        return np.where(np.isin(np.arange(self.n + 1), (0, self.n)), of_rings, of_rings / self.m)

    def _find_gaps(self, p):
        """Connected missing directions; a pole neighbours all of its ring, and alone is no gap."""
        n, m = self.n, self.m
        node = np.arange((n + 1) * m).reshape(n + 1, m)
        node[0], node[n] = 0, n * m
        below = np.stack([node[:-1].ravel(), node[1:].ravel()])
        aside = np.stack([node[1:n].ravel(), np.roll(node[1:n], -1, 1).ravel()])
        pairs = np.concatenate([below, aside], axis=1)
        pairs = np.concatenate([pairs, pairs[::-1]], axis=1)
        read = self.read[p].ravel()
        missing = ~read
        if not missing[m : n * m].any():
            return []
        inside = missing[pairs[0]] & missing[pairs[1]]
        graph = coo_matrix((np.ones(inside.sum()), pairs[:, inside]), shape=(read.size, read.size))
        _, label = connected_components(graph, directed=False)
        value, share, gaps = self.value[p].ravel(), self.share(), []
        ring_of = np.arange(read.size) // m
        single = np.isin(np.arange(read.size), node)
        for one in np.unique(label[m : n * m][missing[m : n * m]]):
            cells = np.flatnonzero((label == one) & missing & single)
            border = self._around(pairs, read, cells, cells)
            beyond = self._around(pairs, read, border, np.concatenate([cells, border]))
            largest = value[border].max(initial=-np.inf)
            # A polarisation's ring at a pole holds half of the total, and may hold all of it at some phi.
            whole = np.where((ring_of[border] % n == 0) & (not self.total), 2.0, 1.0)
            in_full = (value[border] * whole).max(initial=-np.inf)
            outward = value[beyond].max(initial=-np.inf)
            rises = border.size == 0 or beyond.size == 0 or largest > outward * (1 + 1e-9)
            gaps.append((p, [(int(c) // m, int(c) % m) for c in cells], share[ring_of[cells]].sum(), in_full, rises))
        return gaps

    @staticmethod
    def _around(pairs, read, cells, but):
        next_to = pairs[1][np.isin(pairs[0], cells)]
        return np.setdiff1d(next_to[read[next_to]], but)


def marked(case, linear):
    """What stands for a reading, and its bounds, in what integrates. A sensitivity that is at least X is a link that was lost at X: 1/EIS is at most 1/X, and counts as 0.
    A power that is at most X counts as half of it."""
    most, least = case.marks == AT_MOST, case.marks == AT_LEAST
    if case.quantity in SENSITIVITIES:
        return np.where(least, 0.0, linear), np.where(least, 0.0, linear), np.where(most, np.inf, linear)
    return np.where(most, linear / 2.0, linear), np.where(most, 0.0, linear), np.where(least, np.inf, linear)


def folded(theta, phi):
    """Directions with theta in 0..180, and the sign that the components of a field take."""
    over = theta > 180.0
    return np.where(over, 360.0 - theta, theta), np.where(over, phi + 180.0, phi), np.where(over, -1.0, 1.0)
