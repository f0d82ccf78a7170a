"""What the made-up firm owns and how each of its sites heads its columns. All of it invented."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """A product as the workbook knows it. serials: a pattern for str.format with n.

    words: what people write for its class. share: so many of a hundred lines.
    """

    maker: str
    product: str
    class_slug: str
    words: tuple[str, ...]
    serials: str
    sizes: tuple[str, ...]
    share: int


# Shares roughly as the firm's stock: twice as many connectors as harnesses, few devices.
# fmt: off
STOCK: tuple[Line, ...] = (
    Line("Orrin & Tull", "Ridgeline 2", "harness", ("Harness", "full body harness", "FBH"), "{n:07d}", ("M", "L", "XL"), 14),
    Line("Halvard Textiles", "Hold 4 sit", "harness", ("Harness", "FBH with sit", "Full body harness"), "HT-{n:06d}", ("1", "2", "3"), 6),
    Line("Brackwater Forge", "Steel oval 40", "connector", ("Connector", "krab", "karabiner"), "BF{n:07d}", (), 24),
    Line("Brackwater Forge", "Scaffold hook 60", "connector", ("Connector", "scaffold hook", "snap hook"), "SH/{n:06d}", (), 8),
    Line("Halvard Textiles", "Twinstep 150", "energy-absorbing-lanyard", ("twin lanyard shock abs", "Energy absorbing lanyard", "shock absorbing lanyard"), "{n:07d}", (), 12),
    Line("Orrin & Tull", "Stayline 200", "positioning-lanyard", ("Work positioning lanyard", "pole strap", "positioning lanyard"), "ST {n:06d}", (), 5),
    Line("Orrin & Tull", "Restrainer 150", "lanyard", ("Restraint lanyard", "lanyard no abs", "Lanyard"), "R{n:06d}", (), 5),
    Line("Kestrel Mechanical", "Block 10", "retractable", ("SRL", "inertia reel", "fall block"), "{m:08d}", (), 6),
    Line("Brackwater Forge", "Eye A12", "anchor", ("Anchor", "eyebolt", "anchor eye"), "E-{n:06d}", (), 9),
    Line("Halvard Textiles", "Loop 80", "sling", ("Anchor sling", "sling", "strop"), "L80-{n:06d}", (), 5),
    Line("Kestrel Mechanical", "Rig adjuster", "rope-adjuster", ("rope access descender", "back-up device", "Ascender"), "KA{n:06d}", (), 3),
    Line("Orrin & Tull", "Crown", "helmet", ("Helmet", "hard hat", "helmet w chinstrap"), "C{n:06d}", (), 3),
)

# (site, share of a hundred lines, title lines, (heading, field) in the order of the columns)
SITES: tuple[tuple[str, int, int, tuple[tuple[str, str], ...]], ...] = (
    ("Corrick Quay grain terminal", 30, 2, (
        ("Tag No.", "tag"), ("Type", "class"), ("Make", "maker"), ("Model", "product"), ("Ser. #", "serial"), ("Size", "size"),
        ("Month/yr made", "made"), ("First used", "first_used"), ("Last insp.", "last_inspected"), ("Next due", "next_due"), ("Insp by", "inspector"),
        ("Status", "condition"), ("Issued to", "holder"), ("Location", "zone"), ("Remarks", "remarks"),
    )),
    ("Skelhope Viaduct refurbishment", 25, 3, (
        ("Serial Number", "serial"), ("Manufacturer", "maker"), ("Description", "product"), ("Category", "class"), ("Our mark", "tag"), ("Size", "size"),
        ("DOM", "made"), ("In service since", "first_used"), ("Date of last inspection", "last_inspected"), ("Due", "next_due"), ("Inspector", "inspector"),
        ("Condition", "condition"), ("With", "holder"), ("Where kept", "zone"), ("Comments", "remarks"),
    )),
    ("Hollin Fell wind farm", 20, 1, (
        ("Asset no", "tag"), ("Kind of equipment", "class"), ("Maker", "maker"), ("Product", "product"), ("S/N", "serial"), ("Size", "size"),
        ("Date of manufacture", "made"), ("Put into use", "first_used"), ("Inspected on", "last_inspected"), ("Inspection due", "next_due"), ("Checked by", "inspector"),
        ("Result", "condition"), ("User", "holder"), ("Zone", "zone"), ("Notes", "remarks"),
    )),
    ("Pellow Lane Playhouse", 10, 0, (
        ("ID", "tag"), ("Equipment type", "class"), ("Brand", "maker"), ("Model no", "product"), ("Maker's no", "serial"), ("Size", "size"),
        ("Mfg date", "made"), ("First use", "first_used"), ("Last check", "last_inspected"), ("Next inspection", "next_due"), ("By whom", "inspector"),
        ("State", "condition"), ("Held by", "holder"), ("Place", "zone"), ("Observations", "remarks"),
    )),
    ("Northmere cold store", 15, 4, (
        ("Make", "maker"), ("Model name", "product"), ("Serial no.", "serial"), ("Tag", "tag"), ("Class", "class"), ("Size", "size"),
        ("Year made", "made"), ("Date first used", "first_used"), ("Last examined", "last_inspected"), ("Due date", "next_due"), ("Examined by", "inspector"),
        ("OK?", "condition"), ("Wearer", "holder"), ("Area", "zone"), ("Remark", "remarks"),
    )),
)
# fmt: on

IN_SERVICE_WORDS = ("OK", "ok", "Good", "In use", "PASS", "Serviceable", "in service")
WORSE_WORDS = ("Scrapped", "Red bag", "Lost", "FAIL - cut strap", "quarantine", "see Huw")
INSPECTORS = ("Huw Penry", "H. Penry", "HP")
ZONES = ("Store, rack A", "Store, rack B", "Gang box 1", "Gang box 2", "Cabin", "Van")
REMARKS = ("", "", "", "", "watch stitching", "new label 2025", "dusty", "paint on webbing")
