"""The same posterior as the joint fit's, written a second time with numpy from the printed equations.

It shares with the engine only the list of unknowns with their beliefs, the air states of the runs, and the noise of
each reading; drops, blower, rise and the Student-t noise are its own. It serves as the target of an independent
sampler, whose quantiles are kept and compared with the engine's intervals.
"""

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.stats import t as student

Q0, RHO0, MU0, RHO_TABLE = 0.47194745, 1.2041, 1.8134e-5, 1.2014
M0 = Q0 * RHO0
NU = 4
ORDER = ("return duct", "filter", "coil", "blower", "heater", "supply duct")
STATION = {
    "return plenum": 1, "before filter": 1, "after filter": 2, "before coil": 2, "after coil": 3, "before blower": 3,
    "after blower": 4, "before heater": 4, "after heater": 5, "supply plenum": 5, "room": None, "return grille": None,
}  # fmt: skip


class Posterior:
    """Log density of the unknowns of a draw-through visit, for many points at once."""

    def __init__(self, visit, model, viscosity=MU0):
        self.visit, self.model = visit, model
        names = model.unknowns.names
        self.column = {name: k for k, name in enumerate(names)}
        self.mean, self.sd = np.array(model.unknowns.mean), np.array(model.unknowns.sd)
        self.runs = {run.id: run for run in visit.run}
        self.tables = {}
        for table in visit.system.fan_table:
            p, q = np.array(table.static), np.array(table.airflow)
            if visit.system.motor == "constant airflow":  # a straight line through what is printed up to the limit
                below = p <= (visit.system.airflow_limit_static or p[-1])
                line = np.polynomial.Polynomial.fit(p[below], q[below], 1)
                p = p[below][[0, -1]]
                q = line(p)
            f = PchipInterpolator(p, q, extrapolate=False)
            self.tables[table.speed] = (table, p, q, f, f.derivative())

    def get(self, x, name, default=0.0):
        return x[:, self.column[name]] if name in self.column else np.full(len(x), default)

    def log_k(self, x, part, run):
        value = self.get(x, f"resistance {part}")
        if part == "filter":
            return value + (self.get(x, "change filter") if run.filter == "new" else 0.0)
        if part != "heater" and run.when == "as found":
            value = value + self.get(x, f"change {part}")
        return value

    def drops(self, x, run):
        air = self.model.airs[run.id].section
        flow = self.get(x, f"airflow {run.zero_for or run.id}")
        f = (
            self.get(x, "leak as left")
            if run.when == "as left" and "leak as left" in self.column
            else self.get(x, "leak")
        )
        result = {}
        for part in ORDER:
            if part == "blower" or (part == "heater" and "resistance heater" not in self.column):
                continue
            state = air[part]
            behind = self.get(x, "leak behind coil")  # what enters behind the coil has not passed it
            share = {"return duct": 1 - f, "filter": 1 - f, "coil": 1 - behind * f}.get(part, 1.0)
            q = M0 * np.exp(flow) * share * state.volume / Q0
            n = self.get(x, f"exponent {part if part in ('filter', 'coil') else 'duct'}")
            wet = 0.0
            if part == "coil" and run.wetness != "dry":
                film = self.get(x, "wet coil") + self.get(x, f"wet coil in {run.id}")  # the coil's, and the run's own
                wet = film * (1.0 if run.wetness == "wet steady" else self.get(x, f"damp {run.id}"))
            k = np.exp(self.log_k(x, part, run) + wet)
            result[part] = k * q**n * (state.density / RHO0) ** (n - 1) * (state.viscosity / MU0) ** (2 - n)
        return result

    def pressure(self, x, run, drops, place):
        station = STATION[place]
        if station is None:
            return 0.0
        names = list(ORDER)
        if station <= names.index("blower"):
            return -sum(drops[p] for p in names[:station] if p in drops)
        return sum(drops[p] for p in names[station:] if p in drops)

    def table_flow(self, speed, p):
        _, grid, values, f, slope = self.tables[speed]
        inside = f(np.clip(p, grid[0], grid[-1]))
        low = values[0] + slope(grid[0]) * (p - grid[0])
        high = values[-1] + slope(grid[-1]) * (p - grid[-1])
        return np.where(p < grid[0], low, np.where(p > grid[-1], high, inside))

    def strength(self, x, when):
        if f"strength {when}" in self.column:
            return self.get(x, f"strength {when}")
        return self.get(x, "strength as left") + self.get(x, "change strength")

    def fan(self, x, run, drops):
        """ln of airflow over the table's."""
        table, grid, *_ = self.tables[run.speed]
        inlet = self.model.airs[run.id].section["blower"]
        q = M0 * np.exp(self.get(x, f"airflow {run.id}")) * inlet.volume
        held = self.visit.system.motor == "constant airflow"
        s = np.ones(len(x)) if held else np.exp(self.strength(x, run.when))
        total = sum(drops.values())
        static = total if held else total * RHO_TABLE / inlet.density / s**2
        if table.coil != "none":
            k = self.get(x, "resistance coil") + self.get(x, "rated coil")
            if table.coil == "wet":
                k = k + self.get(x, "wet coil")
            static = static - np.exp(k) * (q / s / Q0) ** self.get(x, "exponent coil")
        if table.filter == "in":
            k = self.get(x, "resistance filter") + self.get(x, "rated filter")
            static = static - np.exp(k) * (q / s / Q0) ** self.get(x, "exponent filter")
        if table.heater == "in":
            k = self.get(x, "resistance heater") + self.get(x, "rated heater")
            static = static - np.exp(k) * (q / s / Q0) ** self.get(x, "exponent duct")
        with np.errstate(invalid="ignore", divide="ignore"):
            expected = np.log(self.table_flow(run.speed, static))
        level = self.get(x, "table level") + self.get(x, f"table level {run.speed}")
        if held and run.when == "as found":  # what the motor could not hold against the dirt
            level = level + self.get(x, "held short")
        tilt = self.get(x, "table slope") * (static / ((grid[0] + grid[-1]) / 2) - 1)
        return np.log(q / s) - level - tilt - expected

    def __call__(self, x):
        x = np.atleast_2d(x)
        total = -0.5 * (((x - self.mean) / self.sd) ** 2).sum(axis=1)
        drops = {run_id: self.drops(x, self.runs[run_id]) for run_id in self.model.streams}
        scale_of_t = np.sqrt(NU / (NU - 2))  # makes the standard deviation one
        for observation, source, row in zip(
            self.model.observations, self.model.sources, self.model.expectations, strict=True
        ):
            run = self.runs[source.run]
            kind = observation.label.split(": ", 1)[1]
            if kind == "fan table":
                expected = self.fan(x, run, drops[run.id])
            elif kind == "strip rise":
                expected = self.rise(x, run, row)
            else:
                expected = self.reading(x, run, drops[run.id], source.readings[0])
            z = (observation.value - expected) / observation.sd
            total = total + (student.logpdf(z * scale_of_t, NU) if observation.heavy else -0.5 * z**2)
        return np.where(np.isfinite(total), total, -np.inf)

    def rise(self, x, run, row):
        heat = 1.0
        volts = np.mean([r.value for r in run.reading if r.what == "volts" and r.at == "strips"])
        amps = np.mean([r.value for r in run.reading if r.what == "amps" and r.at == "strips"])
        heat = volts * amps * (1 + self.get(x, "gain strip power"))
        if not any(zero.zero_for == run.id for zero in self.visit.run):
            watts = [r.value for r in run.reading if r.what == "blower_power"]
            heat = heat + (np.mean(watts) if watts else 450.0)
        moist = self.model.airs[run.id].humidity_ratio_return
        capacity = 1006.0 + 1860.0 * moist  # J/(kg K) of dry air with its vapour
        own = row._capacity / M0  # the engine's, to within its own check
        assert abs(own / capacity - 1) < 2e-3
        expected = heat * np.exp(self.get(x, "strip probe")) / (own * M0 * np.exp(self.get(x, f"airflow {run.id}")))
        shifts = [n for n in self.column if n == f"no zero {run.when}" or n.startswith("offset ")]
        if not any(zero.zero_for == run.id for zero in self.visit.run):
            expected = expected + sum(self.get(x, n) for n in shifts)
        return expected

    def reading(self, x, run, drops, k):
        r = run.reading[k]
        ideal = self.pressure(x, run, drops, r.at) - self.pressure(x, run, drops, r.against)
        instrument = next((i for i in self.visit.instrument if i.id == r.instrument), None)
        key = instrument.id if instrument else f"unnamed {r.what}"
        zeros = [n for n in self.column if n.startswith(f"zero {key} ")]
        if len(zeros) > 1:  # the last zeroing before the reading
            moment = r.time or run.start
            stamps = sorted(n.removeprefix(f"zero {key} ") for n in zeros)
            zero = f"zero {key} " + max(s for s in stamps if s <= moment)
        else:
            zero = zeros[0]
        squared = (
            np.exp(2 * self.get(x, f"airflow {run.zero_for or run.id}"))
            * (M0 * self.model.airs[run.id].section["filter"].volume / Q0) ** 2
        )
        misplaced = 0.0
        for place, sign in ((r.at, 1), (r.against, -1)):
            if STATION[place] is not None:
                misplaced = misplaced + sign * self.get(x, self.hole(place, r.hole)) * squared
        return ideal * (1 + self.get(x, f"gain {key}")) + self.get(x, zero) + misplaced

    def hole(self, place, label):
        names = [n for n in self.column if n.startswith("hole ")]
        wanted = f"hole {STATION[place]}{label or ''}"
        return wanted if wanted in names else f"hole {place}{label or ''}"
