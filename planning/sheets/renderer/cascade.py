"""The cascade: what a style sheet says of an element in its place, worked out for the first page.

WeasyPrint shares computed styles among the elements of a document that the same rules match. Here
documents of the same style sheets share them too: each has copies of its own, since boxes write
into their styles, and what is asked of a copy for the first time is worked out in the kept one.
"""

from collections import defaultdict
from collections.abc import Iterator

import tinycss2
from weasyprint import css
from weasyprint.css import ComputedStyle, StyleFor

FAMILIES_KEPT = 16  # a front and a back for each paper, language and turning a house uses
STYLES_KEPT = 4000  # of a family; a sheet has three hundred styles
SVG = "{http://www.w3.org/2000/svg}svg"
HIDDEN = {"display": ("none",)}

_init = StyleFor.__init__
_families: dict[tuple, "Kept"] = {}


class Kept:
    """The styles of an element and its pseudo-elements, and those of elements inside it."""

    def __init__(self, styles: dict[str | None, ComputedStyle]):
        self.styles = styles
        self.inside: dict[tuple, Kept] = {}
        self.count = 0  # of a family


class Own(ComputedStyle):
    """A document's own copy of a kept style."""

    def __init__(self, kept: ComputedStyle):
        vars(self).update(vars(kept))
        self.kept = kept
        self.update(kept)
        self["anchor"]

    def copy(self) -> "Own":
        copy = Own(self.kept)
        copy.update(self)
        copy.specified = self.specified.copy()
        return copy

    def __missing__(self, key):
        value = self[key] = self.kept[key]
        return value


def style_for(self, html, sheets, presentational_hints, font_config, target_collector) -> None:
    """Work out the styles of all elements, as the ``__init__`` of WeasyPrint's StyleFor does."""
    if presentational_hints:
        _init(self, html, sheets, presentational_hints, font_config, target_collector)
        return
    self._cascaded_styles, self._computed_styles = {}, {}
    self.initial_page_sizes = {"box": None, "area": None}
    self._sheets, self.font_config = sheets, font_config
    declared = defaultdict(list)
    for specificity, element, declarations, base_url in css.find_style_attributes(
        html.etree_element, base_url=html.base_url
    ):
        declared[element].append((specificity, declarations, base_url))
    family = _family(font_config, sheets)
    root = None
    kept_of: dict = {}
    shared: dict[Kept, Own] = {}
    for element in _elements(html.wrapper_element):
        node = element.etree_element
        outer = kept_of[element.parent.etree_element] if element.parent else family
        known = len(outer.inside)
        kept = kept_of[node] = _kept(self, html, element, declared.get(node, ()), outer, root)
        family.count += len(outer.inside) - known
        root = root or kept
        own = shared.get(kept)
        if own is None or node in declared:
            own = shared[kept] = Own(kept.styles[None])
        self._computed_styles[node, None] = own
        if target_collector and own["anchor"]:
            target_collector.collect_anchor(own["anchor"])
        if node.tag == SVG:  # drawn as a picture: boxes of what is in it would be thrown away
            self._computed_styles.update({(part, None): HIDDEN for part in node})
    for node, kept in kept_of.items():
        for pseudo_type, style in kept.styles.items():
            if pseudo_type:
                self._computed_styles[node, pseudo_type] = Own(style)


def _family(font_config, sheets) -> Kept:
    """Return what is kept of these style sheets: its rules are told apart by where they lie."""
    key = (font_config, *sheets)
    family = _families.pop(key, None)
    if family is None or family.count > STYLES_KEPT:
        family = Kept({})
    _families[key] = family
    if len(_families) > FAMILIES_KEPT:
        del _families[next(iter(_families))]
    return family


def _elements(root) -> Iterator:
    """Yield the elements in tree order, without the parts of drawings."""
    open_ = [iter([root])]
    while open_:
        element = next(open_[-1], None)
        if element is None:
            open_.pop()
            continue
        yield element
        if element.etree_element.tag != SVG:
            open_.append(element.iter_children())


def _kept(style_for, html, element, declared, outer: Kept, root: Kept | None) -> Kept:
    matched = [
        (number, selector)
        for number, (sheet, _origin, _specificity) in enumerate(style_for._sheets)
        for selector in sheet.matcher.match(element)
    ]
    said = tuple(tinycss2.serialize(declarations) for _, declarations, _ in declared)
    rules = tuple((number, selector[0], id(selector[3][0])) for number, selector in matched)
    key = (said, rules)
    kept = outer.inside.get(key)
    if kept is None:
        cascaded = _cascaded(style_for._sheets, matched, declared)
        kept = outer.inside[key] = _computed(style_for, cascaded, html.base_url, outer, root)
    return kept


def _cascaded(sheets, matched, declared) -> dict[str | None, dict]:
    """Return, of an element and its pseudo-elements, each property's value that counts most."""
    cascaded: dict[str | None, dict] = {None: {}}

    def say(pseudo_type, origin, layer_order, specificity, declarations) -> None:
        style = cascaded.setdefault(pseudo_type, {})
        for name, values, importance in declarations:
            weight = (css.declaration_precedence(origin, importance), layer_order, specificity)
            if name not in style or style[name][1] <= weight:
                style[name] = values, weight

    for specificity, declarations, base_url in declared:
        valid = css.preprocess_declarations(base_url, declarations)
        say(None, "author", css.inf, specificity, valid)
    for number, (specificity, _order, pseudo_type, (declarations, layer)) in matched:
        sheet, origin, sheet_specificity = sheets[number]
        layer_order = css.inf if layer is None else sheet.layers.index(layer)
        say(pseudo_type, origin, layer_order, sheet_specificity or specificity, declarations)
    return cascaded


def _computed(style_for, cascaded, base_url, outer: Kept, root: Kept | None) -> Kept:
    kept = Kept({})
    for pseudo_type, said in cascaded.items():
        parent = kept if pseudo_type else outer
        kept.styles[pseudo_type] = ComputedStyle(
            parent.styles.get(None),
            said,
            pseudo_type,
            (root or kept).styles.get(None, css.InitialStyle(style_for.font_config)),
            base_url,
            style_for.font_config,
            style_for.initial_page_sizes,
        )
    return kept
