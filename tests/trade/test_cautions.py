"""Cautions: each rests on the rule that is named here again, or says that it is practice."""

import re

import pytest

from drawthrough.trade import cautions as module
from drawthrough.trade.cautions import CautionFault, cautions, read_cautions, standing

# Restated, from memory: the rules by topic, and how sure their numbers are.
RULES = {
    "lockout/tagout": (("1910.147(c)-(d)",), "high", "isolation"),
    "energy": (("1910.147(d)(5)",), "high", "turning wheel"),
    "electrical lockout and test": (("1910.333(b)(2)",), "high", "isolation"),
    "capacitor discharge": (("1910.333(b)(2)(ii)(C)",), "high", "capacitor"),
    "test before touch": (("NFPA 70E-2024", "120.6"), "medium-high", "prove dead"),
    "cord-and-plug / disconnect in sight": (("NFPA 70", "440.14", "424.19", "422.31"), "medium-high",
                                            "disconnect in sight"),
    "refrigerant release": (("section 608", "42 U.S.C. 7671g", "40 CFR 82.154(a)"), "high", "refrigerant"),
    "technician certification": (("40 CFR 82.161",), "high", "refrigerant"),
    "substitute/HFC rules": (("40 CFR Part 84", "Subpart B"), "high", "flammable refrigerant"),
    "A2L refrigerants": (("UL 60335-2-40", "ASHRAE 15"), "high", "flammable refrigerant"),
    "chemicals": (("1910.1200(f)", "(g)(8)"), "high", "cleaner"),
    "PPE": (("1910.132(d)", "1910.133", "1910.138"), "high", "cleaner"),
    "eyewash": (("1910.151(c)",), "high", "eyewash"),
    "antimicrobial claims": (("12(a)(2)(G)", "7 U.S.C. 136j", "40 CFR 152.15"), "high", "antimicrobial"),
    "attic/crawl entry, ladders": (("1910.23", "1910.146"), "high", "ladder"),
    "lead/asbestos suspect duct or insulation": (("40 CFR 745", "Subpart E", "29 CFR 1910.1001"), "high",
                                                 "old materials"),
    "rinse water": (("IRC M1411.3",), "medium", "rinse water"),
    "dwell time and dilution": ((), "low", "label"),
}  # fmt: skip
ALSO = {"ladder": "attic"}  # a rule told in two cautions
PRACTICE = ("rinse water", "dwell time and dilution")


@pytest.mark.restated
@pytest.mark.parametrize("topic", RULES)
def test_each_rule_is_cited_with_its_trust(topic):
    numbers, confidence, code = RULES[topic]
    told = [cautions()[code], *([cautions()[ALSO[code]]] if code in ALSO else [])]
    cited = "; ".join(citation for one in told for citation in one.citations)
    assert [number for number in numbers if number not in cited] == []
    for one in told:
        assert one.confidence == confidence
        assert one.word == ("common practice" if topic in PRACTICE else "from memory")


@pytest.mark.restated
def test_nothing_is_cited_that_no_rule_above_has():
    """A citation with a number that was not collected would be an invented one."""
    collected = set(re.findall(r"\d+\.\d+|\b\d{3,}\b", " ".join(" ".join(numbers) for numbers, _, _ in RULES.values())))
    for one in cautions().values():
        for citation in one.citations:
            assert set(re.findall(r"\d+\.\d+|\b\d{3,}\b", citation)) <= collected, (one.code, citation)


@pytest.mark.property
def test_every_caution_is_one_sentence_of_a_few_words():
    """Read with gloves on: at most 26 words (judgement)."""
    for one in cautions().values():
        assert one.text.count(".") == 1, one.code
        assert len(one.text.split()) <= 26, one.code
    assert len({one.text for one in cautions().values()}) == len(cautions())


@pytest.mark.property
def test_codes_and_a_licensed_person_stand_always():
    assert [one.code for one in standing()] == ["codes and licence"]
    assert {one.text for one in cautions().values()} <= set(module.messages())


@pytest.mark.property
@pytest.mark.parametrize(
    ("row", "says"),
    [
        ({"text": "No end", "word": "common practice", "confidence": "high"}, "whole sentence"),
        ({"text": "A.", "word": "read", "confidence": "high"}, '"read"'),
        ({"text": "A.", "word": "common practice", "confidence": "sure"}, '"sure"'),
        ({"text": "A.", "word": "from memory", "confidence": "high"}, "cites nothing"),
        ({"text": "A.", "word": "common practice"}, "confidence"),
        ({"text": "A.", "word": "common practice", "confidence": "high", "colour": "red"}, "colour"),
    ],
)
def test_a_caution_that_is_wrong_is_named(row, says):
    with pytest.raises(CautionFault, match='"hot plate"') as caught:
        read_cautions({"hot plate": row})
    assert says in str(caught.value)
