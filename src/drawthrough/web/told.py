"""One line for each fact, for the list of what was written last."""

from drawthrough.report.names import reading_name
from drawthrough.report.voice import N_, Voice
from drawthrough.trade.guides import guides
from drawthrough.trade.hold_points import hold_points
from drawthrough.visit import facts as kinds
from drawthrough.visit.facts import AnyFact
from drawthrough.web.ledger import Opened


def fact_told(fact: AnyFact, opened: Opened, voice: Voice) -> str:
    """Return a fact in a few words."""
    say = voice.say
    match fact:
        case kinds.VisitOpened():
            return say(N_("The visit began."))
        case kinds.SiteDescribed():
            return say(N_("The place: {name}.")).format(name=fact.site.name)
        case kinds.SystemDescribed():
            return say(N_("The equipment: {name}.")).format(name=fact.system.name)
        case kinds.ComplaintHeard():
            return say(N_("The complaint, in the customer's words."))
        case kinds.InstrumentListed():
            return say(N_("Instrument: {name}.")).format(name=fact.instrument.id)
        case kinds.RunDescribed():
            return say(N_("Run: {name}.")).format(name=fact.run.id)
        case kinds.ReadingTaken():
            return say(N_("{name}: {typed}")).format(name=reading_name(fact.reading, voice), typed=fact.reading.typed)
        case kinds.ReadingCorrected():
            return say(N_("{name}, corrected: {typed}")).format(
                name=reading_name(fact.reading, voice), typed=fact.reading.typed
            )
        case kinds.Withdrawn():
            told = next((fact_told(one, opened, voice) for one in opened.facts if one.id == fact.of), "")
            return say(N_("Taken back: {what}")).format(what=told)
        case kinds.WorkDone():
            return say(N_("Work: {part}, {action}.")).format(part=say(fact.work.part), action=say(fact.work.action))
        case kinds.LeadSeen():
            return say(N_("Lead: {colour}, {terminal}.")).format(colour=fact.lead.colour, terminal=fact.lead.terminal)
        case kinds.GapSeen():
            return say(N_("Gap: {where}.")).format(where=fact.gap.where)
        case kinds.PatternSeen():
            return say(N_("Dirt: {surface}, {dirt}.")).format(surface=fact.pattern.surface, dirt=say(fact.pattern.dirt))
        case kinds.PriceSet():
            return say(N_("Price: {item}.")).format(item=fact.price.item)
        case kinds.PhotoTaken():
            return say(N_("Photo: {of}.")).format(of=fact.of)
        case kinds.LogKept():
            return say(N_("Logger's file: {name}.")).format(name=fact.name)
        case kinds.ReportIssued():
            return say(N_("A report was handed over."))
        case kinds.TerminalSeen():
            return say(N_("Terminal: {name}.")).format(name=fact.terminal.name)
        case kinds.ChangeIntended():
            return say(N_("Meant to be changed: {what}.")).format(what=say(fact.change.kind))
        case kinds.SeatSeen():
            return say(N_("The seat, {when}.")).format(when=say(fact.seat.when))
        case kinds.RunCapacitorSeen():
            return say(N_("The run capacitor, {when}.")).format(when=say(fact.run_capacitor.when))
        case _:
            return _doing_told(fact, voice)


def _doing_told(fact: AnyFact, voice: Voice) -> str:
    """Return in a few words how the work goes."""
    say = voice.say
    match fact:
        case kinds.TaskBegun():
            return say(N_("Begun: {task}.")).format(task=say(fact.task))
        case kinds.TaskDone():
            return say(N_("Done: {task}.")).format(task=say(fact.task))
        case kinds.TaskLeft():
            return say(N_("Left out today: {task}.")).format(task=say(fact.task))
        case kinds.LeftWaiting():
            return say(N_("Waits for an opening: {task}.")).format(task=say(fact.task))
        case kinds.HoldPassed():
            hold = hold_points().get(fact.hold)
            told = say(hold.text) if hold is not None else fact.hold
            return say(N_("Passed with a reason: {hold} {why}")).format(hold=told, why=fact.why)
        case kinds.RiskTold():
            return say(N_("The risk was told: {title}.")).format(title=_title(fact.guide, voice))
        case kinds.SnagMet():
            return say(N_("Surprise: {what}.")).format(what=_title(fact.guide, voice) or fact.note)
        case kinds.ItemCounted():
            return say(N_("{item}: {state}.")).format(item=say(fact.item), state=say(fact.state))
        case _:
            return say(N_("The job of the visit."))


def _title(guide: str, voice: Voice) -> str:
    found = guides().get(guide)
    return voice.say(found.title) if found is not None else guide
