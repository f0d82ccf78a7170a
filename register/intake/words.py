"""The trade's many words for a class of equipment, a condition and the use it gets."""

from __future__ import annotations

import re
from functools import lru_cache

from register.intake.fields import normal_heading
from register.rules.classes import CLASSES

# The first line that fits decides, so the special stands above the general: 'rescue harness'
# before 'harness'. From memory of the trade's talk, to be verified; no makers' words.
# fmt: off
_CLASSES: tuple[tuple[str, str], ...] = (
    ("rescue-kit", r"rescue (kit|set|bag|pack)|(descent|evacuation|evac|haul|raise|confined space) kit|rettungs(set|kit)|zestaw (ratown|ewakuac|ratunk)"),
    ("rescue-loop", r"rescue (loop|strop|sling)|lifting strop|en 1498|petla ratown"),
    ("rescue-harness", r"(rescue|evac|evacuation) (harness|triangle|nappy)|rettungs(gurt|dreieck)|en 1497|szelki (ratown|ewakuac)|trojkat (ratown|ewakuac)"),
    ("horizontal-lifeline", r"(horizontal|temporary|cable|wire) (life ?line|line|system)|hll\b|lifeline horizontal|(lina|linka|system) poziom|poziom[ay] (lina|linka|system)"),
    ("guided-arrester", r"guided|rope grab|grab (device|on rope)|fall arrest(er)? on (a )?(rail|rope|line)|vertical (life ?line|line|rail)|cable (grab|slider)|runner|trolley|mitlaufend|en 353|samozacisk|urzadzenie .*prowadnic"),
    ("retractable", r"retract|\bsrls?\b|srl d|inertia|fall blocks?\b|\bblocks? (fall|arrest)|self retract|yo ?yo|hohensicherung|antichute a rappel|enrouleur|en 360|samohamown|zwijan"),
    ("energy-absorbing-lanyard", r"fall arrest lanyard|shock abs|energy abs|absorb|shock pack|(twin|double|y|twin tail|single|forked) (leg |tail )?(sa|ea|shock)|\bsal\b|\beal\b|twin (leg|tail)|en 355|falldampfer|longe absorb|amortyzator"),
    ("positioning-lanyard", r"position|pole (strap|strop|belt)|work belt|waist belt|fliplines?|adjustable lanyard|halteseil|longe de maintien|en 358|podparci|pozycjon|pas biodrowy"),
    ("lanyard", r"lanyard|restraint line|cows ?tails?|verbindungsmittel|longe\b|en 354|\blink[ai]\b|\blonz"),
    ("helmet", r"helmets?|hard hat|casque|kask|schutzhelm|en 397|en 12492|\bhelm"),
    ("tripod", r"tripods?|davit|quad ?pod|dreibein|trepied|trojnog|statyw|zurawik"),
    ("lifting-device", r"winch|hoist|rescue lift|lifting (device|unit)|man ?riding|en 1496|treuil|wciagark|podnosz"),
    ("descender", r"(rescue|evac|evacuation|controlled|constant|automatic|auto) (descend|descent|rate desc)|descent (device|control)|descender (for )?rescue|abseilgerat|en 341|(urzadzenie|przyrzad) (ewakuac|opuszcz|do ewakuac|do opuszcz)"),
    ("rope-adjuster", r"descend[eo]r|ascend[eo]r|back ?up|rope (access )?(device|clamp|adjust)|hand ascend|chest ascend|en 12841|przyrzad (zjazd|zacisk|linow)|urzadzenie zjazd"),
    ("pulley", r"pulleys?|\bblock and tackle|poulie|umlenkrolle|seilrolle|en 12278|bloczek|krazek"),
    ("stretcher", r"stretchers?|spine ?board|\blitter|civiere|trage\b|schleifkorb|\bnosze\b"),
    ("sling", r"slings?|strops?|anchor (strap|sling)|bandschlinge|anneau de sangle|\btasm[ay]\b|\bpetl[ae]\b|zawiesi"),
    ("connector", r"karab|carab|\bkrab|\bcrab|connectors?|snap ?hook|scaff(old)? hook|\bhms\b|mousqueton|karabin|quick ?link|maillon|\bbiner|en 362|zatrzasnik|lacznik"),
    ("anchor", r"anchors?|eye ?bolt|anchorage|beam clamp|dead ?weight|anschlag|ancrage|en 795|kotwic|kotwia|punkt kotw|zaczep stal"),
    ("rope", r"\bropes?\b|kernmantel|\bcorde\b|\bseil\b|life ?line|en 1891|\blin[ay]\b"),
    ("harness", r"harness|\bfbh\b|full body|sit harness|chest harness|\bgurt|auffanggurt|harnais|arnes|szelki|en 361|en 813"),
    ("tool", r"knife|cutter|cut away|edge (pro|guard)|rope protect|reach pole|remote (hook|attach)|\bpole\b|rigging plate|tool|\bnoz\b|przecinak"),
)

_CONDITIONS: tuple[tuple[str, str], ...] = (
    ("destroyed", r"destroyed|cut up|disposed|binned|skipped|crushed|zniszczon|zutylizow|pociet"),
    ("withdrawn", r"withdraw|scrap|condemn|fail|reject|do not use|\bdnu\b|red tag|unfit|not fit|unserviceable|unsat|\bu s\b|out of service|retired|end of life|not ok|no good|ausgesondert|rebut|wycofan|\bzlom|niezdatn|odrzuc|negatyw|nie uzywac|zakaz uzyw|niedopuszcz|nie dopuszcz|skasowan"),
    ("not-located", r"\blost\b|missing|not (located|found|seen|presented)|can ?t find|whereabouts|stolen|zagubion|zaginion|nie odnalez|nie okazan|skradzion"),
    ("quarantined", r"quarantin|red bag|\bhold\b|suspect|pending|awaiting|damaged|\brefer|to be|\bnot\b|\bno\b|no longer|out of date|expired|overdue|needs|gesperrt|kwarantann|wstrzyman|podejrzan|uszkodz|niesprawn|do (napraw|wyjasn|przegl)|po terminie|przetermin|\bnie\b"),
    ("away", r"\baway\b|at maker|to maker|for service|at service|being (serviced|repaired)|in repair|for repair|at repair|with agent|w naprawie|u producenta|w serwisie|u wytworcy"),
    ("left", r"\bsold\b|off hire|off hired|returned to|given back|transferred out|sprzedan|zwrocon"),
    ("received", r"received|not accepted|\bnew in\b|unopened|przyjet|nieprzyjet|nieotwart"),
    ("in-service", r"in service|in use|^ok\b|\bgood\b|\bpass(ed)?\b|^fit\b|\bserviceable|satisf|in date|\blive\b|\bactive|^yes$|^y$|^p$|^a1$|\bnew\b|\bissued|in stock|in store|\bgreen\b|bestanden|bon etat|w uzyc|w uzytk|\bsprawn|\bdopuszcz|\bzdatn|pozytyw|\bdobr[yae]|w magazyn|\bwydan|^tak$|^zgodny$"),
)

_USES: tuple[tuple[str, str], ...] = (
    ("rescue", r"rescue|sealed|emergency|ratown"),
    ("training", r"train|school|demo|szkolen|cwicz"),
    ("arduous", r"arduous|heavy|harsh|blast|paint|chemical|acid|grit|hot work|weld|offshore|marine|severe|ciezk|chemi|zrac"),
    ("light", r"light|occasional|rare|spare|indoor|lekk|sporad"),
    ("normal", r"normal|general|standard|regular|medium|daily|site|zwyk|codzien"),
)
# fmt: on
_Table = tuple[tuple[str, re.Pattern[str]], ...]


def _compiled(table: tuple[tuple[str, str], ...]) -> _Table:
    return tuple((slug, re.compile(pattern)) for slug, pattern in table)


_CLASS_TABLE, _CONDITION_TABLE = _compiled(_CLASSES), _compiled(_CONDITIONS)
_USE_TABLE = _compiled(_USES)
_BY_NAME = {normal_heading(one.name): slug for slug, one in CLASSES.items()} | {
    normal_heading(slug): slug for slug in CLASSES
}


def _first(table: _Table, text: str) -> str:
    plain = normal_heading(text)
    return next((slug for slug, pattern in table if pattern.search(plain)), "") if plain else ""


@lru_cache(maxsize=5000)
def class_of(text: str) -> str:
    """The slug of the class that words such as 'twin lanyard shock abs' mean, or ''."""
    return _BY_NAME.get(normal_heading(text), "") or _first(_CLASS_TABLE, text)


@lru_cache(maxsize=5000)
def condition_of(text: str) -> str:
    """The condition that words such as 'red bag' or 'PASS' mean, or ''.

    The worse readings stand first, so that 'failed, was ok' is withdrawn.
    """
    return _first(_CONDITION_TABLE, text)


@lru_cache(maxsize=5000)
def use_of(text: str) -> str:
    """The slug of the use conditions, or '' for words not known."""
    return _first(_USE_TABLE, text)
