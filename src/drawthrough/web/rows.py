"""The readings of a run as rows: as typed, with standing, meaning so far and history."""

from drawthrough.judge.judgement import Judgement, ReadingStanding
from drawthrough.judge.so_far import so_far
from drawthrough.report.figures import clause, label, made_of
from drawthrough.report.names import short_name
from drawthrough.report.readings import offered
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_so_far import told_so_far
from drawthrough.trade.reading_list import parted, remark_free
from drawthrough.visit.air_place import SIGN_TURNED
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import ReadingCorrected, ReadingTaken, Withdrawn
from drawthrough.visit.fold import Version
from drawthrough.visit.state import Reading, Run
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.ledger import Opened
from drawthrough.web.views.readings import ReadingView, RowsView, VersionView

_SAID = ("airflow", "blower_against_clean", "wheel_against_clean", "coil_resistance", "duct_static")
_MINUS = "−"


def rows_of(desk: Desk, opened: Opened, run: Run, *, judged: bool = True) -> RowsView:
    """Return the readings of a run as they are shown.

    Parameters
    ----------
    desk : Desk
        Who asks.
    opened : Opened
        The visit.
    run : Run
        The run as it stands.
    judged : bool
        Say what is judged, too; without it the answer comes sooner.
    """
    judgement = _judgement(opened, run) if judged else None
    href = run_address(opened.id, run.id)
    return RowsView(
        visit=opened.id,
        run_href=href,
        rows_href=f"{href}?rows=1",
        rows=tuple(row_of(desk, opened, run, k, judgement) for k in range(len(run.reading))),
        withdrawn=tuple(_gone(desk, opened, run)),
        judged=tuple(_judged(judgement, run, desk.voice)) if judgement is not None else (),
    )


def _judgement(opened: Opened, run: Run) -> Judgement | None:
    """Return what is judged of a visit: with what to read next only where the airflow of this state is still open."""
    numbers = opened.numbers
    airflow = numbers.result("airflow", run.when) if numbers is not None else None
    return numbers if airflow is not None and airflow.standing != "not resolved" else opened.judgement


def row_of(desk: Desk, opened: Opened, run: Run, index: int, judgement: Judgement | None) -> ReadingView:
    """Return one reading as it is shown."""
    reading = run.reading[index]
    versions = opened.folded.history[(run.id, index)]
    standing = _standing(judgement, run, index)
    figure, unit = shown(reading)
    voice = desk.voice
    means: tuple[str, ...] = ()
    not_yet: tuple[str, ...] = ()
    if opened.visit is not None:
        means, not_yet = told_so_far(so_far(opened.visit, run.id, index, judgement), voice)
    return ReadingView(
        id=versions[0].fact,
        name=short_name(reading, voice),
        figure=figure,
        unit=unit,
        time=reading.time or desk.time_of_day(wall(versions[0].moment)),
        standing=standing.standing if standing else "",
        standing_word=voice.say(standing.standing) if standing else "",
        struck=standing is not None and standing.standing == "set aside",
        instrument=reading.instrument or "",
        sign=voice.say(N_("sign turned by the place")) if SIGN_TURNED in reading.note else "",
        why=tuple(clause(reason, voice) for reason in standing.reasons) if standing else (),
        means=means,
        not_yet=not_yet,
        note=remark_free(reading.note),
        history=tuple(_version(desk, versions, k) for k in range(len(versions) - 1)),
        correct_href=f"{run_address(opened.id, run.id)}?correct={versions[0].fact}",
        once=desk.ledger.once(),
    )


def shown(reading: Reading) -> tuple[str, str]:
    """Return the figure and the unit as the hand typed them, with the sign that the place gave."""
    figure, unit = parted(reading.typed)
    if figure.startswith("-"):
        figure = f"{_MINUS}{figure[1:]}"
    turned = reading.value < 0.0 and reading.against is not None and not figure.startswith(_MINUS)
    return (f"{_MINUS}{figure}" if turned else figure), unit


def _version(desk: Desk, versions: tuple[Version, ...], k: int) -> VersionView:
    figure, unit = shown(versions[k].reading)
    return VersionView(
        typed=f"{figure} {unit}".strip(),
        time=desk.time_of_day(wall(versions[k].moment)),
        why=versions[k + 1].why,
    )


def _standing(judgement: Judgement | None, run: Run, index: int) -> ReadingStanding | None:
    if judgement is None:
        return None
    return next((one for one in judgement.readings if (one.run, one.index) == (run.id, index)), None)


def _gone(desk: Desk, opened: Opened, run: Run) -> list[ReadingView]:
    """Return the readings that were taken back, as they stood last, each with the withdrawal that holds."""
    gone = opened.folded.withdrawn
    holds = {fact.of: fact for fact in opened.facts if isinstance(fact, Withdrawn) and fact.id not in gone}
    last = {
        fact.of: fact.reading for fact in opened.facts if isinstance(fact, ReadingCorrected) and fact.id not in gone
    }
    found = []
    for fact in opened.facts:
        if not isinstance(fact, ReadingTaken) or fact.run != run.id or fact.id not in gone:
            continue
        reading = last.get(fact.id, fact.reading)
        by = holds[fact.id]
        figure, unit = shown(reading)
        found.append(
            ReadingView(
                id=by.id,
                name=short_name(reading, desk.voice),
                figure=figure,
                unit=unit,
                time=reading.time or desk.time_of_day(wall(fact.moment)),
                standing="set aside",
                standing_word="",
                struck=True,
                instrument=reading.instrument or "",
                why=(by.why,) if by.why else (),
                note=remark_free(reading.note),
                once=desk.ledger.once(),
            )
        )
    return found


def _judged(judgement: Judgement, run: Run, voice: Voice) -> list[str]:
    """Say in a few lines what the whole of the readings says of the state in which the run was."""
    told = []
    for name in _SAID:
        result = judgement.result(name, run.when)
        if result is None:
            continue
        made = made_of(result, voice)
        unit = voice.unit_of_result(result.unit).label
        named = f"{label(name, voice)}, {voice.say(run.when)}"
        if result.standing == "not resolved":
            told.append(voice.say(N_("{name}: not resolved (95 %: {ends} {unit})")).format(
                name=named, ends=voice.ends(made), unit=unit
            ))  # fmt: skip
        else:
            told.append(voice.say(N_("{name}: {value} {unit} (95 %: {ends}), {standing}")).format(
                name=named, value=made.value, unit=unit, ends=voice.ends(made), standing=voice.say(result.standing)
            ))  # fmt: skip
    told = [line.replace(" ,", ",").replace(" )", ")") for line in told]
    airflow = judgement.result("airflow", run.when)
    if airflow is None:
        told.insert(0, voice.say(N_("Airflow: not yet.")))
    if airflow is None or airflow.standing == "not resolved":
        worth = judgement.next_readings
        told += [offered(one, voice)[0] for one in worth if one.when == run.when and "airflow" in one.settles][:1]
    return told
