"""One line for each fact, for the list of what was written last."""

from drawthrough.report.names import reading_name
from drawthrough.report.voice import N_, Voice
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
