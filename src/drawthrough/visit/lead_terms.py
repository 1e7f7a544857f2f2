"""Words of the trade for colours, functions and landing points of leads, in English and Spanish.

Everything here is common practice without a source: it says how a thing is usually called, never what it is.
"""

import re
import unicodedata
from functools import lru_cache

from drawthrough.visit.state import LeadRole, TerminalKind


def _table(text: str) -> dict[str, str]:
    """Return a table of which each line names a thing and, after the colon, the words for it."""
    rows = (line.partition(":") for line in text.strip().splitlines())
    return {word: name.strip() for name, _, words in rows for word in words.split()}


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


COLOURS = _table("""
    black: black blk negro negra
    white: white wht blanco blanca
    red: red rojo roja
    blue: blue blu azul
    yellow: yellow yel amarillo amarilla
    green: green grn verde
    grey: grey gray gry gris
    orange: orange org orn naranja anaranjado anaranjada
    brown: brown brn cafe marron
    purple: purple pur violet vio morado morada purpura violeta
    pink: pink pnk rosa rosado rosada
    tan: tan beige
""")
STRIPE = _words("with con stripe striped raya rayado rayada tracer franja and y")
MARK = _words("mark marked tag tagged marca etiqueta")

# Words that say how fast; several of them in a row make one function ("medium high").
SPEEDS = _table("""
    high: high hi alta alto rapida
    medium: medium med media medio mediana
    low: low lo baja bajo lenta
""")
TAPS = _words("tap speed velocidad toma")
FUNCTIONS = _table("""
    common: common com comun
    capacitor: capacitor cap condensador start
    line: line linea supply alimentacion
    ground: ground gnd earth tierra
    control: control signal senal
    strips: strips strip heater resistencia resistencias
    blower interlock: interlock enclavamiento
    other: other otro otra unknown desconocido
""")
PLUGS = _words("plug connector enchufe conector")

# A landing point's words, put into the words that the house uses.
POINTS = _table("""
    park: park parked parking estacionado estacionada estacionar reposo
    capped: capped tapado tapada encapuchado capuchon
    ground: tierra
    chassis: chasis
    relay: rele relevador
    board: tarjeta tablero
    capacitor: condensador
    line: linea
    strips: resistencias resistencia
    post: poste
    neutral: neutro
    contactor: contactor
    loose: suelto suelta
""")

PARK_WORDS = _words("park parked parking unused spare dummy")
CAP_WORDS = _words("capped nut taped insulated cap loose hanging")
LOOSE_WORDS = _words("loose hanging bare")
GROUND_WORDS = _words("ground gnd earth chassis bond")
CAPACITOR_WORDS = _words("capacitor herm c1 c2")
STRIP_WORDS = _words("strip strips element elements heater sequencer limit")
CONTROL_NAMES = _words("r rc rh c w w1 w2 y y1 y2 g o b 24v thermostat")
LINE_WORDS = _words("l1 l2 line neutral contactor breaker disconnect transformer")
# A live point that is switched: one of several of which a relay or a board makes one live at a time.
TAP_WORDS = _words("relay board tap cool cooling heat heating fan circ eac high medium med low hi lo no nc")
BLOWER_WORDS = _words("motor blower")
BOARD_WORDS = _words("board")

_BEFORE_SPEED: tuple[LeadRole, ...] = ("ground", "capacitor", "common", "line")
_AFTER_SPEED: tuple[LeadRole, ...] = ("strips", "control")

_KIND_BY_ROLE: dict[LeadRole, TerminalKind] = {
    "speed": "live", "common": "live", "capacitor": "capacitor", "line": "live", "ground": "ground",
    "control": "control", "strips": "strips", "blower interlock": "control", "other": "live",
}  # fmt: skip


@lru_cache(maxsize=2048)
def plain(text: str) -> str:
    """Return a text in small letters, without accents and with single blanks."""
    letters = unicodedata.normalize("NFD", text.casefold())
    return " ".join("".join(letter for letter in letters if not unicodedata.combining(letter)).split())


def words_of(text: str) -> list[str]:
    """Return the words of a text: letters and digits, in small letters, without accents."""
    return re.findall(r"[a-z0-9]+", plain(text))


@lru_cache(maxsize=512)
def colour_of(text: str) -> str:
    """Return a colour as the house writes it, a stripe after a slash; a text that is no colour stays, in plain."""
    words = [word for word in words_of(text) if word not in STRIPE]
    if words and all(word in COLOURS for word in words):
        return "/".join(COLOURS[word] for word in words)
    return plain(text)


def role_of_function(function: str) -> LeadRole:
    """Return the role that a function's words tell; "other" where they tell none."""
    words = words_of(function)
    told = {FUNCTIONS[word] for word in words if word in FUNCTIONS}
    if "blower interlock" in told:
        return "blower interlock"
    if "low voltage" in " ".join(words) or {"24v", "24"} & set(words):
        return "control"
    if any(word in TAPS or word in SPEEDS for word in words) and not told & set(_BEFORE_SPEED):
        return "speed"  # though it may be said which speed it is by what calls for it: "tap 4, cooling and strips"
    return next((role for role in (*_BEFORE_SPEED, *_AFTER_SPEED) if role in told), "other")


def kind_of_point(name: str, roles: set[LeadRole]) -> TerminalKind:
    """Return what kind of landing point a name and the roles of its leads speak of; live where nothing tells.

    Live is the guess that cannot hurt: a point believed live is not used to park a lead.
    """
    words = {POINTS.get(word, word) for word in words_of(name)}
    if words & PARK_WORDS:
        return "park"
    said_short = "cap" in words and "capacitor" in roles and "of" not in words  # "cap C1" is a capacitor's, then
    if words & CAPACITOR_WORDS or said_short:
        return "capacitor"
    joint = "nut" in words and bool(roles & {"common", "line", "ground"})  # a nut also joins lines, and grounds
    if joint:
        return "ground" if roles == {"ground"} else "live"
    if words & CAP_WORDS or "not connected" in plain(name):
        return "cap"
    if words & GROUND_WORDS:
        return "ground"
    if "capacitor" in roles and not words & (TAP_WORDS - {"fan"} | LINE_WORDS):
        return "capacitor"
    if words & TAP_WORDS or words & LINE_WORDS:
        return "live"
    if words & STRIP_WORDS:
        return "strips"
    if plain(name) in CONTROL_NAMES and not roles & {"speed", "common", "line", "capacitor"}:
        return "control"
    for role in ("speed", "common", "line", "strips", "control", "blower interlock", "ground"):
        if role in roles:
            return _KIND_BY_ROLE[role]
    return "live"
