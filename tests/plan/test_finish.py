"""The finish as an interval: triangular times against scipy, chains against sums of moments, draws against numpy."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.plan import finish
from drawthrough.plan.finish import DRAWS, PACE, finish_of, mean, pace_of, triangular
from drawthrough.plan.job import Planned, planned
from drawthrough.plan.timeline import Slot, items_of, order_of, timeline
from drawthrough.trade.tasks import NOTHING, Span, Task

spans = st.tuples(st.floats(0, 1e4), st.floats(0, 1e4), st.floats(0, 1e4)).map(lambda t: Span(*sorted(t)))


@pytest.mark.independent
@settings(deadline=None, max_examples=100)
@given(spans, st.floats(0.001, 0.999))
def test_triangular_against_scipy(span, share):
    triang = pytest.importorskip("scipy.stats").triang
    width = span.most - span.least
    if width < 1e-3:
        return
    reference = triang(c=(span.likely - span.least) / width, loc=span.least, scale=width)
    assert triangular(span, share) == pytest.approx(reference.ppf(share), rel=1e-9, abs=1e-6)
    assert mean(span) == pytest.approx(reference.mean(), rel=1e-9)


def _row(count, span, idle=NOTHING):
    made = []
    for k in range(count):
        task = Task(code=str(k), text="", minutes=(1, 1, 1))
        made.append(Planned(task, "purpose", span, idle, ((str(k - 1), False),) if k else ()))
    return made


@pytest.mark.analytic
@pytest.mark.parametrize("count", [1, 5, 40])
def test_a_chain_has_the_moments_of_its_sum(count, monkeypatch):
    """Mean (a + m + b)/3, variance (a2 + m2 + b2 - am - ab - mb)/18 of a triangular time (textbooks; from memory).

    Without a common pace the interval of a long chain is that of a normal sum; so is it here, to what the draws allow.
    """
    monkeypatch.setattr(finish, "PACE", 1e-9)
    a, m, b = 120.0, 300.0, 900.0
    found = timeline(_row(count, Span(a, m, b)), 1, 0.0).finish
    total = count * (a + m + b) / 3
    deviation = math.sqrt(count * (a * a + m * m + b * b - a * m - a * b - m * b) / 18)
    assert found.best == pytest.approx(total, abs=0.35 * deviation)
    if count == 40:
        assert found.high - found.low == pytest.approx(2 * 1.96 * deviation, rel=0.25)


@pytest.mark.independent
@pytest.mark.parametrize("crew", [1, 2])
def test_interval_against_plain_draws(book, crew):
    """The layered draws against 4,000 plain ones of numpy through the same order of the demo's day."""
    numpy = pytest.importorskip("numpy")
    tasks = planned(None, book.system)
    order = order_of(tasks, crew)
    rng = numpy.random.default_rng(5)
    place = {one.code: k for k, one in enumerate(tasks)}

    def drawn(span):
        return rng.triangular(*span, 4000) if span.most > span.least else numpy.full(4000, span.least)

    pace = numpy.exp(rng.normal(0.0, PACE, 4000))
    idle = [drawn(one.idle) for one in tasks]
    end, free, last = {}, {}, numpy.zeros(4000)
    for k in sorted(range(len(tasks)), key=lambda k: order.start[k]):
        start = free.get(order.who[k], numpy.zeros(4000))
        for code, over in tasks[k].after:
            j = place[code]
            start = numpy.maximum(start, end[j] + (idle[j] if over else 0.0))
        end[k] = free[order.who[k]] = start + pace * drawn(tasks[k].hands)
        last = numpy.maximum(last, end[k] + idle[k])
    ours = timeline(tasks, crew, 0.0).finish
    low, best, high = numpy.percentile(last, [2.5, 50, 97.5])
    # Of 128 draws the ends of a 95 % interval lie within a fifth of its width (binomial order statistics).
    width = high - low
    assert ours.low == pytest.approx(low, abs=0.2 * width)
    assert ours.best == pytest.approx(best, abs=0.05 * width)
    assert ours.high == pytest.approx(high, abs=0.2 * width)
    assert DRAWS == 128


@pytest.mark.analytic
def test_pace_is_the_mean_of_normal_and_normal():
    """Textbook conjugate normal: precision adds, the mean is weighed by it (Gelman et al., BDA, 2.5; from memory)."""
    centre, spread = pace_of([1.5] * 9)
    weight = 9 / 0.3**2
    assert centre == pytest.approx(math.log(1.5) * weight / (weight + 1 / PACE**2))
    assert spread == pytest.approx((weight + 1 / PACE**2) ** -0.5)
    assert pace_of([]) == (0.0, pytest.approx(PACE))


@pytest.mark.property
def test_a_slow_morning_moves_the_afternoon():
    tasks = _row(10, Span(500.0, 600.0, 700.0))
    items, order = items_of(tasks), order_of(tasks, 1)

    def at(pace):
        real = [Slot(str(k), 600.0 * pace * k, 600.0 * pace * (k + 1), 0.0, 0, "done") for k in range(5)]
        ahead = [Slot(str(k), 0.0, 0.0, 0.0, 0, "ahead") for k in range(5, 10)]
        return finish_of(tasks, items, order, 0.0, real + ahead, 3000.0 * pace).best - 3000.0 * pace

    assert at(0.8) < at(1.0) < at(1.4)
