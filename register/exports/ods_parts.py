"""The parts of an ODS workbook that are the same in each, but for the name of its first sheet."""

from __future__ import annotations

from xml.sax.saxutils import quoteattr

MIMETYPE = "application/vnd.oasis.opendocument.spreadsheet"
_XML = '<?xml version="1.0" encoding="UTF-8"?>\n'
_NS = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{space}:1.0"'
    for name, space in (
        ("office", "office"),
        ("style", "style"),
        ("text", "text"),
        ("table", "table"),
        ("number", "datastyle"),
        ("fo", "xsl-fo-compatible"),
        ("config", "config"),
    )
)
_PARTS = ("content.xml", "styles.xml", "settings.xml")

MANIFEST = (
    f"{_XML}<manifest:manifest "
    'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.2">'
    f'<manifest:file-entry manifest:full-path="/" manifest:version="1.2" manifest:media-type="{MIMETYPE}"/>'
    + "".join(
        f'<manifest:file-entry manifest:full-path="{part}" manifest:media-type="text/xml"/>'
        for part in _PARTS
    )
    + "</manifest:manifest>"
)

STYLES = f'{_XML}<office:document-styles {_NS} office:version="1.2"><office:styles/></office:document-styles>'

_PART = '<number:{0} number:style="long"/>'
_DAY = "<number:text>-</number:text>".join(
    (_PART.format("year"), _PART.format("month"), _PART.format("day"))
)
_HOURS = f"{_PART.format('hours')}<number:text>:</number:text>{_PART.format('minutes')}"

CONTENT_HEAD = (
    f'{_XML}<office:document-content {_NS} office:version="1.2"><office:automatic-styles>'
    f'<number:date-style style:name="N-day">{_DAY}</number:date-style>'
    f'<number:date-style style:name="N-moment">{_DAY}<number:text> </number:text>{_HOURS}</number:date-style>'
    '<style:style style:name="day" style:family="table-cell" style:data-style-name="N-day"/>'
    '<style:style style:name="moment" style:family="table-cell" style:data-style-name="N-moment"/>'
    '<style:style style:name="head" style:family="table-cell">'
    '<style:table-cell-properties fo:wrap-option="wrap" style:vertical-align="top"/>'
    '<style:text-properties fo:font-weight="bold"/></style:style>'
    '<style:style style:name="said" style:family="table-cell">'
    '<style:table-cell-properties fo:wrap-option="wrap" style:vertical-align="top"/></style:style>'
    "<!--widths--></office:automatic-styles><office:body><office:spreadsheet>"
)


def settings_of(sheet: str) -> str:
    """The head row of the sheet stays where it is while the rows are scrolled."""
    kept = "".join(
        f'<config:config-item config:name="{name}" config:type="{kind}">{value}</config:config-item>'
        for name, kind, value in (
            ("HorizontalSplitMode", "short", 0),
            ("VerticalSplitMode", "short", 2),
            ("HorizontalSplitPosition", "int", 0),
            ("VerticalSplitPosition", "int", 1),
            ("ActiveSplitRange", "short", 2),
            ("PositionTop", "int", 0),
            ("PositionBottom", "int", 1),
        )
    )
    return (
        f'{_XML}<office:document-settings {_NS} office:version="1.2"><office:settings>'
        '<config:config-item-set config:name="ooo:view-settings">'
        '<config:config-item-map-indexed config:name="Views"><config:config-item-map-entry>'
        '<config:config-item config:name="ViewId" config:type="string">view1</config:config-item>'
        '<config:config-item-map-named config:name="Tables">'
        f"<config:config-item-map-entry config:name={quoteattr(sheet)}>{kept}"
        "</config:config-item-map-entry></config:config-item-map-named>"
        "</config:config-item-map-entry></config:config-item-map-indexed>"
        "</config:config-item-set></office:settings></office:document-settings>"
    )
