"""Papers: issued with a reference and a seal, told alike as PDF and page, and checked by anybody."""

from __future__ import annotations

import stat
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as real_settings
from django.core.cache import cache
from django.core.exceptions import ImproperlyConfigured
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.db import connection
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from register import clock
from register.actions.papers import name_employer
from register.documents import sealing
from register.documents.checking import check_paper, look_at_file, paper_with
from register.documents.content import Content, Frame
from register.documents.frame import SHEETS, pdf_of
from register.documents.issuing import Issued, issue, link_to
from register.documents.kinds import kinds
from register.models import Employer, Entry, Paper, Role, Site, User
from register.refusal import Refusal
from register.rules.tags import read
from register.views.paper_pages import paper_page
from register.views.papers import LOOKS_AN_HOUR
from tests.factories import NOON, SiteFactory, stamp, user_as
from tests.register.reading_papers import pages_of, squeezed, text_of_page, text_of_pdf, unsaid
from tests.register.specimen_paper import SPECIMEN

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def specimen(settings: Any) -> Iterator[None]:
    settings.PAPER_KINDS = ["tests.register.specimen_paper.SPECIMEN"]
    kinds.cache_clear()
    yield
    kinds.cache_clear()


@pytest.fixture(autouse=True)
def held_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


@pytest.fixture
def employer(db: None) -> Employer:
    return name_employer(name="Aldermoor Works", address="1 Quay", paper_size="a4", stamp=stamp())


@pytest.fixture
def place(employer: Employer) -> Site:
    made: Site = SiteFactory(code="quay", name="Corrick Quay", address="Quay Road 1")
    return made


@pytest.fixture
def issued(place: Site) -> Issued:
    return issue(SPECIMEN, place, stamp=stamp(), language="en-gb")


def spoilt(file: bytes, at: int) -> bytes:
    return file[:at] + bytes([file[at] ^ 1]) + file[at + 1 :]


def test_a_paper_tells_its_reference_who_issued_it_when_and_how_many_pages(issued: Issued) -> None:
    first, *later = pages_of(issued.file)
    for words in (
        "Aldermoor Works",
        "1 Quay",
        str(issued.paper),
        "9 Mar 2026, 12:00",
        "Europe/London",
    ):
        assert squeezed(words) in squeezed(first)
    pages = len(later) + 1
    assert pages > 2
    for number, page in enumerate([first, *later], 1):
        assert f"page {number} of {pages}" in page
        assert str(issued.paper) in page


def test_the_heads_of_a_table_stand_on_every_page_it_fills(issued: Issued) -> None:
    assert all("No." in page for page in pages_of(issued.file)[1:-1])


def test_the_pdf_and_the_page_say_every_text_of_the_content(
    place: Site, issued: Issued, petra: User
) -> None:
    content = SPECIMEN.content(place, NOON)
    pdf = _without_the_frame(issued)
    assert unsaid(content, pdf) == []
    request = RequestFactory().get("/")
    request.user = petra
    page = paper_page(request, "specimen", place, {"url": "/", "words": "back"})
    assert unsaid(content, text_of_page(page.content.decode())) == []


def _without_the_frame(issued: Issued) -> str:
    """The texts of the pages with the lines of head and foot taken out, so that none cuts a cell."""
    texts = []
    for number, page in enumerate(pages_of(issued.file)):
        lines = page.splitlines()
        told = [one for one in lines if "page " not in one and "Aldermoor Works · " not in one]
        texts.append("\n".join(told if number == 0 else _after_the_head(told)))
    return squeezed("\n".join(texts))


def _after_the_head(lines: list[str]) -> list[str]:
    return [one for one in lines if one not in ("Specimen", "No.", "What", "Why")]


def test_a_text_that_the_paper_lacks_is_found(issued: Issued) -> None:
    lacking = Content("Specimen", "Nobody said this", ())
    assert unsaid(lacking, text_of_pdf(issued.file)) == ["Nobody said this"]


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_it_comes_on_a4_and_on_letter(place: Site, size: str) -> None:
    file = issue(SPECIMEN, place, stamp=stamp(), language="pl", size=size).file
    box = PdfReader(BytesIO(file)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(
        (SHEETS[size].width, SHEETS[size].height), abs=0.1
    )


def test_it_speaks_the_language_asked_for_and_says_that_its_translation_is_unread(
    place: Site,
) -> None:
    file = issue(SPECIMEN, place, stamp=stamp(), language="pl").file
    first = squeezed(pages_of(file)[0])
    assert "strona1z" in first
    assert "marca2026" in first


def test_every_letter_of_it_is_in_the_file_and_none_is_a_box(issued: Issued) -> None:
    fonts: set[Any] = set()
    for page in PdfReader(BytesIO(issued.file)).pages:
        for font in page["/Resources"]["/Font"].values():
            fonts.add(_descriptor(font.get_object()))
    assert True in fonts
    assert "Ελληνικά" in text_of_pdf(issued.file)
    assert "Кириллица" in text_of_pdf(issued.file)


def _descriptor(font: DictionaryObject) -> bool:
    inner = font.get("/DescendantFonts", [font])[0].get_object()
    return "/FontFile2" in inner.get("/FontDescriptor", {})


def test_its_code_opens_its_own_page(issued: Issued, client: Client) -> None:
    import pypdfium2
    import zxingcpp

    picture = pypdfium2.PdfDocument(issued.file)[0].render(scale=2).to_pil()
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.text == link_to(issued.paper.reference, issued.paper.secret)
    path = found.text.removeprefix(real_settings.PUBLIC_URL.upper())
    page = client.get(path)
    assert page.status_code == 200
    assert "Genuine, and still true" in page.content.decode()


def test_a_reference_is_a_sound_code_and_what_was_issued_stands_in_the_ledger(
    issued: Issued,
) -> None:
    paper = issued.paper
    assert read(str(paper)).code == paper.reference
    said = Entry.objects.get(thing_kind="paper", thing_id=str(paper.pk)).facts
    assert (said["file"], said["facts"]) == (paper.file_hash, paper.facts_hash)


def test_nothing_is_printed_without_the_employer_or_with_a_particular_missing(db: None) -> None:
    bare = SiteFactory()
    with pytest.raises(Refusal) as refused:
        issue(SPECIMEN, bare, stamp=stamp(), language="en-gb")
    assert "name of the employer" in refused.value.sentence
    assert "The site has no address." in refused.value.sentence
    assert not Paper.objects.exists()


# Still true, or what kind of thing changed


def test_a_paper_is_true_until_what_it_rests_on_changes_and_then_tells_what_kind(
    place: Site, issued: Issued, client: Client
) -> None:
    assert check_paper(issued.paper, NOON).standing == "true"
    Site.objects.update(address="Quay Road 2")
    found = check_paper(issued.paper, NOON)
    assert (found.standing, found.changed) == ("changed", ("its address",))
    page = client.get(issued.paper.get_absolute_url()).content.decode()
    assert "its address" in page
    assert "Quay Road" not in page


def test_a_paper_of_the_past_says_so(place: Site) -> None:
    past = issue(SPECIMEN, place, stamp=stamp(), language="en-gb", as_at=NOON - timedelta(days=9))
    assert check_paper(past.paper, NOON).standing == "past"


def test_a_paper_that_is_good_until_a_moment_is_over_from_then_on(issued: Issued) -> None:
    issued.paper.good_until_at = NOON + timedelta(hours=1)
    assert check_paper(issued.paper, NOON).standing == "true"
    assert check_paper(issued.paper, NOON + timedelta(hours=1)).standing == "over"


def test_no_paper_is_of_a_moment_still_to_come(place: Site) -> None:
    with pytest.raises(Refusal):
        issue(SPECIMEN, place, stamp=stamp(), language="en-gb", as_at=NOON + timedelta(hours=1))


def test_the_hash_of_a_fact_differs_from_paper_to_paper(place: Site, issued: Issued) -> None:
    """Whoever reads them learns neither which papers say the same nor what."""
    again = issue(SPECIMEN, place, stamp=stamp(), language="en-gb").paper
    assert set(again.facts) == set(issued.paper.facts)
    assert not set(again.facts.values()) & set(issued.paper.facts.values())


@pytest.mark.parametrize("lost", ["reference", "secret"])
def test_a_wrong_reference_and_a_wrong_secret_are_answered_alike(
    issued: Issued, client: Client, lost: str
) -> None:
    parts = {"reference": issued.paper.reference, "secret": issued.paper.secret, lost: "2222222"}
    assert paper_with(**parts) is None
    page = client.get("/p/{reference}/{secret}".format(**parts))
    assert page.status_code == 404
    assert "No such paper" in page.content.decode()
    assert client.get("/p/żółć/ąę").status_code == 404


def test_without_a_login_only_so_many_papers_are_opened_an_hour(
    issued: Issued, client: Client
) -> None:
    for _ in range(LOOKS_AN_HOUR):
        once = client.get("/p/2222222/nothing")
    assert once.status_code == 404
    assert client.get(issued.paper.get_absolute_url()).status_code == 429


# The seal


def test_a_file_is_unaltered_and_one_flipped_bit_anywhere_is_found(issued: Issued) -> None:
    assert look_at_file(issued.file, issued.paper).verdict == "unaltered"
    for at in [*range(0, len(issued.file), len(issued.file) // 16), len(issued.file) - 1]:
        read = look_at_file(spoilt(issued.file, at), issued.paper)
        assert read.verdict in ("altered", "not-ours"), at
        assert read.paper is None


def test_the_seal_alone_finds_a_flipped_bit(issued: Issued) -> None:
    """Whoever has no access to the register has only the seal: it holds every byte it covers."""
    assert sealing.read_seal(issued.file).whole
    found = PdfReader(BytesIO(issued.file)).get_fields()["Seal"]["/V"]["/ByteRange"]
    first, length, second, rest = (int(each) for each in found)
    assert (first, second + rest) == (0, len(issued.file))
    places = [*range(0, length, length // 12), *range(second, second + rest, max(1, rest // 5))]
    assert not any(sealing.read_seal(spoilt(issued.file, at)).whole for at in places)


def test_what_is_added_behind_the_seal_is_found(issued: Issued) -> None:
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    pen = IncrementalPdfFileWriter(BytesIO(issued.file))
    pen.root["/Lang"] = generic.TextStringObject("xx")
    pen.update_root()
    out = BytesIO()
    pen.write(out)
    assert look_at_file(out.getvalue()).verdict == "altered"
    assert look_at_file(issued.file + b"\n").verdict in ("altered", "not-ours")


def test_pyhanko_finds_the_seal_whole_valid_and_forbidding_every_change(issued: Issued) -> None:
    """By the library's own validation, given the certificate as the one to be trusted."""
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.fields import MDPPerm
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    (signature,) = PdfFileReader(BytesIO(issued.file)).embedded_signatures
    trusting = ValidationContext(
        trust_roots=[signature.signer_cert], moment=datetime(2027, 1, 1, tzinfo=UTC)
    )
    status = validate_pdf_signature(signature, signer_validation_context=trusting)
    assert status.bottom_line
    assert status.docmdp_ok
    assert signature.docmdp_level is MDPPerm.NO_CHANGES


def test_another_paper_and_a_strangers_file_are_told_apart(place: Site, issued: Issued) -> None:
    other = issue(SPECIMEN, place, stamp=stamp(), language="en-gb")
    assert look_at_file(other.file, issued.paper).verdict == "another"
    unsealed = pdf_of(SPECIMEN.content(place, NOON), _frame())
    assert look_at_file(unsealed).verdict == "not-ours"
    assert look_at_file(b"").verdict == "not-ours"


def _frame() -> Frame:
    return Frame("E", "A", "2222222", "HTTP://X/P/2/2", ("now",), "check", "en-gb", "a4")


def test_a_file_sent_to_the_check_page_is_looked_at(issued: Issued, client: Client) -> None:
    path = issued.paper.get_absolute_url()
    for content, said in ((issued.file, "Unaltered."), (spoilt(issued.file, 900), "Altered.")):
        file = SimpleUploadedFile("p.pdf", content)
        assert said in client.post(path, {"file": file}).content.decode()
    nothing = client.post(path)
    assert nothing.status_code == 422


def test_the_key_is_made_once_and_only_its_owner_reads_it(settings: Any, tmp_path: Path) -> None:
    settings.SEAL_FILE = tmp_path / "deep" / "seal.p12"
    first = sealing.make_ready()
    assert stat.S_IMODE(settings.SEAL_FILE.stat().st_mode) == 0o600
    assert sealing.make_ready() == first
    assert list(settings.SEAL_FILE.parent.iterdir()) == [settings.SEAL_FILE]


def test_the_employers_own_key_seals(settings: Any, tmp_path: Path, place: Site) -> None:
    from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, pkcs12

    key, certificate, _rest = pkcs12.load_key_and_certificates(sealing._own_key(), None)
    assert key
    own = tmp_path / "own.p12"
    locked = BestAvailableEncryption(b"gantry")
    own.write_bytes(
        pkcs12.serialize_key_and_certificates(b"own", key, certificate, None, locked)  # type: ignore[arg-type]
    )
    before = sealing.make_ready()
    settings.SEAL_PKCS12, settings.SEAL_PASSPHRASE = own, "gantry"
    made = issue(SPECIMEN, place, stamp=stamp(), language="en-gb")
    assert made.paper.sealed_by != before
    assert look_at_file(made.file).verdict == "unaltered"
    settings.SEAL_PASSPHRASE = "other"
    with pytest.raises(ImproperlyConfigured):
        sealing.make_ready()


def test_the_command_looks_at_a_file(issued: Issued, tmp_path: Path) -> None:
    file = tmp_path / issued.name
    file.write_bytes(issued.file)
    said = StringIO()
    call_command("check_paper", str(file), stdout=said)
    assert f"UNALTERED: Specimen {issued.paper}" in said.getvalue()
    assert "still true" in said.getvalue()
    file.write_bytes(spoilt(issued.file, 2000))
    with pytest.raises(SystemExit):
        call_command("check_paper", str(file), stdout=said)
    assert "ALTERED" in said.getvalue()


# The pages


def test_the_page_issues_the_paper_and_says_what_is_missing(
    place: Site, petra: User, client: Client
) -> None:
    request = RequestFactory().post("/", {"language": "en-gb", "size": "a4"})
    request.user = petra
    answer = paper_page(request, "specimen", place, {"url": "/", "words": "back"})
    assert answer["Content-Type"] == "application/pdf"
    assert Paper.objects.get().made_by == petra
    Site.objects.update(address="")
    place.refresh_from_db()
    told = paper_page(request, "specimen", place, {"url": "/", "words": "back"})
    assert told.status_code == 422
    assert "The site has no address." in told.content.decode()


def test_only_who_holds_every_site_names_the_employer(place: Site, client: Client) -> None:
    said = {"name": "Aldermoor", "address": "2 Quay", "paper_size": "letter"}
    client.force_login(user_as(Role.MANAGER, place))
    assert client.post("/employer/", said).status_code == 403
    client.force_login(user_as(Role.MANAGER))
    assert client.post("/employer/", said).status_code == 302
    assert Employer.objects.get().paper_size == "letter"


def test_a_check_asks_the_database_a_bounded_number_of_questions(issued: Issued) -> None:
    with CaptureQueriesContext(
        connection,
    ) as asked:
        check_paper(issued.paper, NOON)
    assert len(asked) <= 3
