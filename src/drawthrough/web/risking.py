"""Risks that are told to the customer before the start: the words, the stop, the price, and the form that writes it."""

from drawthrough.plan.day import Day
from drawthrough.report.names import field_label
from drawthrough.report.refusals import refusal
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_plan import lasting, money
from drawthrough.trade.guides import Guide, guides_at
from drawthrough.units import MINUTE
from drawthrough.visit.clock import wall
from drawthrough.visit.entry import EntryFault
from drawthrough.visit.facts import RiskTold
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Opened
from drawthrough.web.seen import Refused
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.plan import RiskView

FIELDS = ("stop_after", "amount", "note")  # of the form by which a risk is told


# What this page refuses beyond the rules of a single field, by the reason of the fault.
_OWN = {
    "below the least": N_("At most cannot be shorter than at least: mend one of the two."),
    "no time": N_("Write a time above zero, such as 45 min."),
}


def told_refusal(fault: EntryFault, voice: Voice) -> str:
    """Return the sentence that tells a fault of one of the page's forms."""
    return voice.say(_OWN[fault.reason]) if fault.reason in _OWN else refusal(fault, voice)


def told_before(day: Day) -> tuple[Guide, ...]:
    """Return the guides whose risk is told before the start, of the tasks of the day."""
    found = {guide.code: guide for one in day.kept for guide in guides_at(one.code) if guide.told}
    return tuple(found.values())


def risk_view(desk: Desk, opened: Opened, guide: Guide, refused: Refused) -> RiskView:
    voice, say = desk.voice, desk.voice.say
    facts = [one for one in opened.folded.doing if isinstance(one, RiskTold) and one.guide == guide.code]
    last = facts[-1] if facts else None
    stop = last.stop_after if last is not None else guide.stop_after or 0.0
    amount = last.amount if last is not None else None
    currency = opened.folded.site.currency if opened.folded.site is not None else ""
    words = [say(guide.told, stop_after=lasting(stop, voice))]
    if amount is not None and guide.told_amount:
        words.append(say(guide.told_amount, amount=money(amount, currency)))
    told = ""
    if last is not None:
        text = N_("Told at {time}: stop after {stop}.")
        told = say(text, time=desk.time_of_day(wall(last.moment)), stop=lasting(last.stop_after, voice))
    form = f"risk-{guide.code}"
    values = {"stop_after": f"{stop / MINUTE:g} min", "amount": "" if amount is None else f"{amount:.2f}"}
    sent, faults = refused.of(form)
    wrong = {fault.field: told_refusal(fault, voice) for fault in faults}
    helps = {
        "stop_after": N_("minutes of work on it, after which you stop and ask"),
        "amount": N_("what it adds if all of that time is needed, in {currency}; empty where no price was told"),
        "note": "",
    }
    labels = {"stop_after": say(N_("Stop after")), "amount": say(N_("Price")), "note": field_label("note", voice)}
    fields = tuple(
        FieldView(
            name=name,
            id=f"{form}-{name}".replace("_", "-"),
            label=labels[name],
            help=say(helps[name], currency=currency or "USD") if helps[name] else "",
            kind="area" if name == "note" else "quantity",
            value=sent.get(name, "") if sent else values.get(name, ""),
            required=name == "stop_after",
            fault=wrong.get(name, ""),
        )
        for name in FIELDS
    )
    return RiskView(
        guide=guide.code,
        title=say(guide.title),
        words=tuple(words),
        told=told,
        fields=fields,
        once=refused.once_of(form, desk),
    )
