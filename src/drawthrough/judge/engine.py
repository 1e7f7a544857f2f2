"""A Visit in, a Judgement out: pure, seeded by nothing, recomputed each time."""

from typing import NamedTuple

import msgspec

from drawthrough import __version__
from drawthrough.errors import Unresolvable
from drawthrough.judge import charge, cooling, electrical, explain, gains, proof
from drawthrough.judge.broad import broad_fit
from drawthrough.judge.curves import drawing_of
from drawthrough.judge.joint import Joint
from drawthrough.judge.judgement import Causes, Finding, FitReport, Gain, Judgement, Reason, Result
from drawthrough.judge.marks import marks_of
from drawthrough.judge.mended import without
from drawthrough.judge.misreading import any_slip, any_slip_before
from drawthrough.judge.model import build
from drawthrough.judge.next_reading import Known, next_readings
from drawthrough.judge.odds import causes_of
from drawthrough.judge.pair import Pair, pairs_of
from drawthrough.judge.priors import Priors
from drawthrough.judge.recheck import checked
from drawthrough.judge.sift import sifted
from drawthrough.judge.standing import readings_of
from drawthrough.trade.standing import rules
from drawthrough.visit.state import Run, Visit


class Begun(NamedTuple):
    """A judgement but for causes and what to read next, and what these are worked out from."""

    judgement: Judgement
    visit: Visit  # with what can be worked with
    believed: Visit  # and of that, what the other readings do not contradict
    joint: Joint | None
    misread: tuple[float, float]  # probability of a bad reading, before and after they were held against each other
    priors: Priors


def judge(visit: Visit, priors: Priors | None = None) -> Judgement:
    """Return what can be said of a visit.

    Parameters
    ----------
    visit : Visit
        What was read and done.
    priors : Priors, optional
        Beliefs before any reading; the printed ones unless given.

    Returns
    -------
    Judgement
        Results with intervals and standing, the standing of every reading, findings, whose gain it was, causes, and
        which reading would settle what is open. Contradicting readings do not raise: the findings say so.
    """
    return finish(begin(visit, priors))


def finish(begun: Begun) -> Judgement:
    """Return a judgement with its causes and what to read next."""
    causes, known = _known(begun)
    made = begun.judgement
    offers = next_readings(begun.visit, known, made.readings, made.findings, begun.priors)
    return msgspec.structs.replace(made, causes=causes, next_readings=offers)


def begin(visit: Visit, priors: Priors | None = None) -> Begun:
    """Return what `judge` says but for causes and what to read next: that comes sooner.

    Parameters
    ----------
    visit : Visit
        What was read and done.
    priors : Priors, optional
        Beliefs before any reading; the printed ones unless given.
    """
    priors = priors or Priors()
    written, (visit, place) = visit, sifted(visit)
    joint, failure = _fit(visit, priors)
    held = checked(visit, joint, priors)
    believed = without(visit, held.accused)
    pairs = pairs_of(visit, joint) if joint is not None else []
    pair = pairs[0] if pairs else None
    results: list[Result] = []
    findings: list[Finding] = []
    shares: tuple[Gain, ...] = ()
    if joint is not None:
        if pair is not None:
            results.extend(proof.proof_of(visit, joint, pair, priors))
            shares, at_equal_filter = gains.gains_of(visit, joint, pair)
            if at_equal_filter is not None:
                results.append(proof.at_equal_filter(joint, pair, at_equal_filter))
            findings.extend(_explained(believed, joint, pair))
        else:
            for run in _informed(visit, joint):
                results.extend(proof.single_of(visit, joint, run))
                findings.extend(filter(None, (explain.nameplate_static(believed, _same(believed, run)),)))
        results.extend(cooling.cooling_of(visit, joint, pairs, priors))
        findings.extend(
            found for run in visit.run if (found := explain.zero_explained(visit, joint, run, priors)) is not None
        )
    if failure is not None:
        findings.append(failure)
    findings.extend(_electrical(visit, results))
    _charge(visit, results, findings, priors)
    readings = readings_of(written, visit, joint, priors, place, held)
    made = Judgement(
        engine=__version__,
        site=visit.site.name,
        system=visit.system.name,
        compared=(pair.found.id, pair.left.id) if pair is not None else None,
        results=tuple(map(_grounded, results)),
        readings=readings,
        findings=tuple(findings),
        gains=shares,
        next_readings=(),
        fit=_report(joint) if joint is not None else None,
        drawing=drawing_of(visit, joint, pair[:2] if pair is not None else _informed(visit, joint)) if joint else None,
    )
    return Begun(made, visit, believed, joint, (any_slip_before(visit), any_slip(held.misreadings)), priors)


def _grounded(result: Result) -> Result:
    """Return a result with what it rests on."""
    need = rules().needs.get(result.name)
    return msgspec.structs.replace(result, rests_on=need.on) if need is not None else result


def _fit(visit: Visit, priors: Priors) -> tuple[Joint | None, Finding | None]:
    model = build(visit, priors)
    if not any(source.readings for source in model.sources):
        return None, Finding(code="no reading speaks of air", standing="not yet read")
    try:
        return Joint(model), None
    except Unresolvable:
        return None, Finding(code="readings contradict each other", standing="not resolved")


def _same(visit: Visit, run: Run) -> Run:
    """Return a run with what is still believed of its readings."""
    return next(one for one in visit.run if one.id == run.id)


def _known(begun: Begun) -> tuple[Causes | None, Known | None]:
    """Return the causes, weighed on a fit of their own, and what a next reading is chosen by."""
    visit, priors = begun.believed, begun.priors
    broad = broad_fit(visit, priors)
    if broad is None:
        return None, None
    pair = next(iter(pairs_of(visit, broad)), None)
    run = None if pair is not None else next((run for run in visit.run if run.mode != "zero"), None)
    causes, weighed = causes_of(visit, marks_of(visit, broad, pair, run, priors), begun.misread)
    return causes, Known(begun.joint, broad, weighed, pair, run)


def _informed(visit: Visit, joint: Joint) -> list[Run]:
    spoken = {source.run for source in joint.model.sources if source.readings}
    return [run for run in visit.run if run.id in spoken and run.mode != "zero"][:1]


def _explained(visit: Visit, joint: Joint, pair: Pair) -> list[Finding]:
    pair = pair._replace(found=_same(visit, pair.found), left=_same(visit, pair.left))
    found = [explain.static_explained(visit, joint, pair), explain.ducts_explained(joint)]
    found.extend(explain.nameplate_static(visit, run) for run in (pair.found, pair.left))
    moved = proof.voltage_moved(pair)
    if moved is not None and abs(moved) > proof.VOLTS_APART:
        found.append(Finding(code="voltage moved", standing="in doubt", figures={"change": moved}))
    return [finding for finding in found if finding is not None]


def _electrical(visit: Visit, results: list[Result]) -> list[Finding]:
    findings: list[Finding | None] = []
    for run in visit.run:
        capacitance = electrical.capacitance_of(visit, run)
        if capacitance is not None:
            results.append(capacitance)
            findings.append(electrical.capacitor_finding(visit, capacitance))
        findings.append(electrical.elements_finding(visit, run))
        findings.append(electrical.voltage_finding(visit, run))
    return [finding for finding in findings if finding is not None]


def _charge(visit: Visit, results: list[Result], findings: list[Finding], priors: Priors) -> None:
    for run in visit.run:
        airflow = next((r for r in results if r.name == "airflow" and r.when == run.when), None)
        found = charge.charge_of(visit, run, airflow, priors)
        results.extend(found)
        target = charge.target_finding(visit, run, found)
        if target is not None:
            findings.append(target)


def _report(joint: Joint) -> FitReport:
    solution = joint.solution
    return FitReport(
        unknowns=len(solution.names),
        observations=len(solution.fitted),
        iterations=solution.iterations,
        settled=solution.settled,
        notes=tuple(
            Reason(code=why, source="joint fit of all readings", names={"run": run}) for run, why in joint.model.notes
        ),
    )
