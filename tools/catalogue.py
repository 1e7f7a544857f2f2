"""The catalogues of translations: finds every message in the code, keeps the .po file in step, compiles the .mo file.

    python tools/catalogue.py            bring the .po up to date with the code, and compile it
    python tools/catalogue.py --check    change nothing; exit 1 where the .po lacks a message or holds an obsolete one
    python tools/catalogue.py --compile  compile only
    python tools/catalogue.py --prune    as without an option, and forget obsolete translations

A message is found in Python where it is the first argument of `say`, `fill` or `N_` (the first two of `count`), in a
template in `_`, `count` or a `trans` block, and in the `messages()` of a module that has such a function. Messages
stand in the order of the files that say them, without line numbers and dates, so that a change shows itself alone.
"""

import ast
import importlib
import io
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from jinja2.ext import babel_extract

CHECKOUT = Path(__file__).resolve().parent.parent
SOURCE = CHECKOUT / "src" / "drawthrough"
LOCALE = SOURCE / "report" / "locale"
LANGUAGES = ("es",)
ROOMS = ("trade", "plan", "report", "web", "phone")  # the command line speaks English
TEMPLATES = SOURCE / "web" / "templates"

Message = str | tuple[str, str]  # one form, or one for one and one for many

_SAID = {"say": 1, "fill": 1, "N_": 1, "count": 2}  # how many of the first arguments are messages
_IN_TEMPLATES = {"_": 1, "gettext": 1, "count": 2, "ngettext": 2}
_HEADER = """\
# Drawthrough in {name}. The messages are written by tools/catalogue.py; only what stands in msgstr is written by hand.
msgid ""
msgstr ""
"Language: {language}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

"""
_NAMES = {"es": "Spanish"}


def path_of(language: str, ending: str = "po") -> Path:
    """Return where a language's catalogue lies."""
    return LOCALE / language / "LC_MESSAGES" / f"drawthrough.{ending}"


def found() -> dict[Message, list[str]]:
    """Return every message of the code with the files that say it, in the order of the catalogue."""
    places: dict[Message, set[str]] = {}
    for path, message in _everywhere():
        if message:
            places.setdefault(message, set()).add(path.relative_to(CHECKOUT).as_posix())
    ordered = sorted(places.items(), key=lambda item: (min(item[1]), _first(item[0])))
    return {message: sorted(files) for message, files in ordered}


def _first(message: Message) -> str:
    return message if isinstance(message, str) else message[0]


def _everywhere() -> Iterator[tuple[Path, Message]]:
    for room in ROOMS:
        for path in sorted((SOURCE / room).rglob("*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            yield from ((path, message) for message in in_python(tree))
            if any(isinstance(node, ast.FunctionDef) and node.name == "messages" for node in tree.body):
                name = ".".join(path.relative_to(SOURCE.parent).with_suffix("").parts).removesuffix(".__init__")
                yield from ((path, message) for message in importlib.import_module(name).messages())
    for path in sorted(TEMPLATES.rglob("*")):
        if path.is_file():
            yield from ((path, message) for message in in_template(path.read_bytes()))


def in_python(tree: ast.AST) -> Iterator[Message]:
    """Yield the messages that a module says in its own text."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            wanted = _SAID.get(name, 0)
            if wanted == 1 and node.args:
                yield from _texts(node.args[0])
            elif wanted == 2 and len(node.args) > 1:
                one, many = (list(_texts(argument)) for argument in node.args[:2])
                yield from zip(one, many, strict=True)


def _texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _texts(node.body)
        yield from _texts(node.orelse)


def in_template(text: bytes) -> Iterator[Message]:
    """Yield the messages of a template."""
    options = {"silent": "false", "encoding": "utf-8", "trim_blocks": "true", "lstrip_blocks": "true"}
    for _, function, said, _ in babel_extract(io.BytesIO(text), list(_IN_TEMPLATES), [], options):
        texts = [one for one in (said if isinstance(said, tuple) else (said,)) if isinstance(one, str)]
        if _IN_TEMPLATES[function] == 2 and len(texts) > 1:
            yield (texts[0], texts[1])
        elif texts:
            yield texts[0]


def kept(language: str) -> Catalog:
    """Return the catalogue as its file has it, obsolete messages beside."""
    path = path_of(language)
    if not path.exists():
        return Catalog(locale=language)
    with path.open("rb") as stream:
        return read_po(stream, locale=language)


def _ids(catalog: Catalog) -> dict[Message, str | tuple[str, ...]]:
    made: dict[Message, str | tuple[str, ...]] = {}
    for message in catalog:
        if message.id:
            made[_key(message.id)] = message.string
    return made


def _key(message: object) -> Message:
    return message if isinstance(message, str) else tuple(message)  # type: ignore[arg-type,return-value]


def merged(language: str, prune: bool = False) -> str:
    """Return the text of the .po file as it should be: the code's messages with the translations that it has."""
    old = kept(language)
    known = {**{_key(m.id): m.string for m in old.obsolete.values()}, **_ids(old)}
    wanted = found()
    catalog = Catalog(locale=language)
    for message, files in wanted.items():
        catalog.add(message, known.get(message), locations=[(file, 1) for file in files])
    for message in catalog:
        # Babel takes "95 % interval" for a template of the % operator; nothing here is one.
        message.flags.clear()
    if not prune:
        for message, string in known.items():
            if message not in wanted and (string if isinstance(string, str) else any(string)):
                gone = Catalog().add(message, string)
                gone.flags.clear()
                catalog.obsolete[_first(message)] = gone
    stream = io.BytesIO()
    write_po(stream, catalog, width=110, omit_header=True, include_lineno=False)
    return _HEADER.format(name=_NAMES[language], language=language) + stream.getvalue().decode("utf-8")


def differences(language: str) -> list[str]:
    """Return what keeps the .po file from being in step with the code, a line for each message."""
    catalog = kept(language)
    have, wanted = _ids(catalog), found()
    told = [f"lacks: {_first(message)}" for message in wanted if message not in have]
    told += [f"obsolete: {_first(message)}" for message in have if message not in wanted]
    return told + [f"obsolete: {_first(_key(message.id))}" for message in catalog.obsolete.values()]


def untranslated(language: str) -> list[Message]:
    """Return the code's messages that have no translation."""
    have = _ids(kept(language))
    return [message for message in found() if not _whole(have.get(message))]


def _whole(string: str | tuple[str, ...] | None) -> bool:
    return bool(string) if isinstance(string, str) or string is None else all(string)


def compile_all() -> None:
    """Write the .mo file of each language, each at once, so that nobody reads half of it."""
    for language in LANGUAGES:
        stream = io.BytesIO()
        write_mo(stream, kept(language))
        _write(path_of(language, "mo"), stream.getvalue())


def compile_stale() -> None:
    """Write the .mo files where one is missing or older than its .po file."""
    for language in LANGUAGES:
        po, mo = path_of(language), path_of(language, "mo")
        if not mo.exists() or mo.stat().st_mtime < po.stat().st_mtime:
            compile_all()
            return


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "wb") as stream:
        stream.write(content)
    Path(name).chmod(0o644)
    Path(name).replace(path)


def main(arguments: list[str]) -> int:
    """Do what the option says."""
    if not set(arguments) <= {"--check", "--compile", "--prune"} or len(arguments) > 1:
        print(__doc__, file=sys.stderr)
        return 2
    if arguments == ["--check"]:
        told = [f"{language}: {line}" for language in LANGUAGES for line in differences(language)]
        print("\n".join(told or ["the catalogues are in step with the code"]))
        return 1 if told else 0
    if arguments != ["--compile"]:
        for language in LANGUAGES:
            _write(path_of(language), merged(language, arguments == ["--prune"]).encode("utf-8"))
            missing = untranslated(language)
            print(f"{path_of(language).relative_to(CHECKOUT)}: {len(found())} messages, {len(missing)} to translate")
    compile_all()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
