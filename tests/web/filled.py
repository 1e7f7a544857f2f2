"""A page's forms as a browser would send them: every field by its name with what stands in it."""

from html.parser import HTMLParser


class Form:
    """One form: where it goes, what it would send, its buttons that carry a value, and the folds that stand open."""

    def __init__(self, action: str) -> None:
        self.action = action
        self.fields: dict[str, str] = {}
        self.buttons: list[tuple[str, str]] = []
        self.shut: set[str] = set()  # names of fields that lie in a fold which is not open


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[Form] = []
        self.form: Form | None = None
        self.area = self.select = ""
        self.folds: list[bool] = []

    def handle_starttag(self, tag, given):
        has = dict(given)
        if tag == "form":
            self.form = Form(has["action"])
            self.forms.append(self.form)
        if tag == "details":
            self.folds.append("open" in has)
        name = has.get("name") or ""
        if self.form is None or (not name and tag != "option"):
            return
        if tag in ("input", "textarea", "select") and not all(self.folds):
            self.form.shut.add(name)
        if tag == "input" and has.get("type") == "radio":
            self.form.fields.setdefault(name, "")
            if "checked" in has:
                self.form.fields[name] = has["value"]
        elif tag == "input" and has.get("type") != "file":
            self.form.fields[name] = has.get("value") or ""
        elif tag == "textarea":
            self.area = name
            self.form.fields[name] = ""
        elif tag == "select":
            self.select = name
        elif tag == "button":
            self.form.buttons.append((name, has.get("value") or ""))
        elif tag == "option" and self.select and ("selected" in has or self.select not in self.form.fields):
            self.form.fields[self.select] = has["value"] or "" if "value" in has else "?"

    def handle_endtag(self, tag):
        if tag == "form":
            self.form = None
        elif tag == "details":
            self.folds.pop()
        elif tag == "textarea":
            self.area = ""
        elif tag == "select":
            self.select = ""

    def handle_data(self, data):
        if self.area and self.form is not None:
            self.form.fields[self.area] += data
        elif self.select and self.form is not None and self.form.fields.get(self.select) == "?":
            self.form.fields[self.select] = data


def forms(page: str) -> list[Form]:
    """Return the forms of a page."""
    reader = _Reader()
    reader.feed(page)
    return reader.forms


def form(page: str, action: str, **holding: str) -> Form:
    """Return the last form whose address ends so and that holds these fields."""
    return [one for one in forms(page) if one.action.endswith(action) and holding.items() <= one.fields.items()][-1]
