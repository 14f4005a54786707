"""What a style needs of the system's typesetter: looked up once for all lines set in that style."""

from weasyprint.text import line_break
from weasyprint.text.constants import LST_TO_ISO, PANGO_DIRECTION
from weasyprint.text.ffi import ffi as c
from weasyprint.text.ffi import gobject, pango, unicode_to_char_p
from weasyprint.text.fonts import font_features, get_font_description

from planning.sheets.renderer.lines import looks

FEATURES = (
    "font_kerning", "font_variant_ligatures", "font_variant_position", "font_variant_caps",
    "font_variant_numeric", "font_variant_alternates", "font_variant_east_asian",
    "font_feature_settings",
)  # fmt: skip

_setup = line_break.Layout.setup
_settings: dict[tuple, tuple] = {}


def setup(layout, style) -> None:
    """Prepare the layout of a line, as WeasyPrint's does; one that is adorned goes its way."""
    if style["text_decoration_line"] != "none":
        _setup(layout, style)
        return
    key = (looks(style), style.font_config)
    if key not in _settings:
        _settings[key] = _of(style)
    context, layout.language, description, features = _settings[key]
    layout.style = style
    layout.first_line_direction = 0
    layout.ascent = layout.underline_position = layout.strikethrough_position = None
    layout.layout = c.gc(pango.pango_layout_new(context), gobject.g_object_unref)
    pango.pango_layout_set_auto_dir(layout.layout, False)
    pango.pango_layout_set_font_description(layout.layout, description)
    if features:
        attributes = pango.pango_attr_list_new()
        pango.pango_attr_list_insert(attributes, features)
        pango.pango_layout_set_attributes(layout.layout, attributes)


def _of(style) -> tuple:
    """Return context, language, font and features of a style."""
    context = pango.pango_font_map_create_context(style.font_config.font_map)
    context = c.gc(context, gobject.g_object_unref)
    pango.pango_context_set_round_glyph_positions(context, False)
    pango.pango_context_set_base_dir(context, PANGO_DIRECTION[style["direction"]])
    override = style["font_language_override"]
    said = style["lang"] if override == "normal" else LST_TO_ISO.get(override.lower(), override)
    if said:
        pointer, _kept = unicode_to_char_p(said)
        language = pango.pango_language_from_string(pointer)
        pango.pango_context_set_language(context, language)
    else:
        language = pango.pango_language_get_default()
    features = font_features(*(style[name] for name in FEATURES))
    attribute = None
    if features:
        words = ",".join(f"{key} {value}" for key, value in features.items()).encode()
        made = style.font_config.font_features
        if words not in made:
            made[words] = pango.pango_attr_font_features_new(words)
        attribute = made[words]
    return context, language, get_font_description(style), attribute


def strut(style) -> tuple[float, float]:
    """Return the height of a style's lines and their baseline, as WeasyPrint's does."""
    try:
        return style.strut
    except AttributeError:
        style.strut = line_break.strut(style)
        return style.strut
