"""PDFs that say they are ours and are built to break `stamp`: refused, or stamped, in time."""

from __future__ import annotations

import datetime
import time
import zlib
from collections.abc import Mapping

import pytest

from booklet.draw.typeface import Faces, load_faces
from booklet.pdf.metadata import OWN_DATA
from booklet.pdf.stamp import MOST_PAGES, Copy, Refused, copy_of, stamped

CATALOGUE = (
    f"<< /Type /Catalog /Pages 2 0 R /PieceInfo << /{OWN_DATA} << /Private "
    "<< /Edition (pattern) >> /LastModified (D:2000) >> >> {more}>>"
)
TREE = "<< /Type /Pages /Kids [{kids}] /Count 1 >>"
PAGE = "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Resources << >> /Contents 4 0 R >>"
STREAM = "<< /Length 3 >>\nstream\nq Q\nendstream"
COPY = Copy("Ana", "", datetime.date(2027, 3, 6))


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return load_faces()


def pdf(changed: Mapping[int, str | bytes], more: str = "") -> bytes:
    """A file of one page with some objects changed (ISO 32000-1, 7.5)."""
    objects: dict[int, str | bytes] = {
        1: CATALOGUE.replace("{more}", more),
        2: TREE.replace("{kids}", "3 0 R"),
        3: PAGE,
        4: STREAM,
        **changed,
    }
    out, places = b"%PDF-1.7\n", {}
    for number, body in objects.items():
        places[number] = len(out)
        data = body if isinstance(body, bytes) else body.encode()
        out += b"%d 0 obj\n" % number + data + b"\nendobj\n"
    end = max(objects) + 1
    rows = (b"%010d 00000 n \n" % places[n] if n in places else FREE for n in range(1, end))
    table = b"xref\n0 %d\n" % end + FREE + b"".join(rows)
    return (
        out
        + table
        + b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF"
        % (
            end,
            len(out),
        )
    )


FREE = b"0000000000 65535 f \n"


def bomb(layers: int) -> bytes:
    """A stream that unpacks to 64 MB, packed so many times over."""
    data = b"q Q " * (1 << 24)
    for _ in range(layers):
        data = zlib.compress(data, 9)
    filters = "/FlateDecode " * layers
    return b"<< /Length %d /Filter [%s] >>\nstream\n" % (len(data), filters.encode()) + (
        data + b"\nendstream"
    )


def doubled() -> dict[int, str | bytes]:
    """A page tree of 2^30 leaves: every node names the next one twice."""
    nodes = {10 + n: TREE.replace("{kids}", f"{11 + n} 0 R {11 + n} 0 R") for n in range(30)}
    return {2: nodes[10], **nodes, 40: PAGE}


GOOD = pdf({})
HOSTILE: dict[str, bytes] = {
    "tree that holds itself": pdf({2: TREE.replace("{kids}", "2 0 R")}),
    "tree in a circle": pdf({n: TREE.replace("{kids}", f"{7 - n} 0 R") for n in (2, 5)}),
    "tree without end": pdf(doubled()),
    "many pages": pdf({2: TREE.replace("{kids}", "3 0 R " * (MOST_PAGES + 1))}),
    "parent in a circle": pdf({3: PAGE.replace("/MediaBox [0 0 612 792]", "/Parent 3 0 R")}),
    "no page": pdf({2: TREE.replace("{kids}", "").replace("/Count 1", "/Count 0")}),
    "words before the first line": b"From a letter\n" + GOOD,
    "end that is cut off": GOOD[:-20],
    "edition that is a list": pdf({1: CATALOGUE.replace("(pattern)", "[1 0 R]")}),
    "no box": pdf({3: PAGE.replace("[0 0 612 792]", "(x)")}),
    "box of no numbers": pdf({3: PAGE.replace("612", "/nan")}),
    "no contents": pdf({3: PAGE.replace("/Contents 4 0 R", "")}),
    "deep list": pdf({3: PAGE.replace("<< >>", "[" * 50_000 + "]" * 50_000)}),
    "table of a billion objects": GOOD.replace(b"xref\n0 5", b"xref\n0 999999999"),
    "long chain": pdf({n: f"<< /A {n + 1} 0 R >>" for n in range(10, 3000)}, "/X 10 0 R "),
    "half": GOOD[: len(GOOD) // 2],
    "zeros": b"%PDF-1.7\n" + bytes(100_000),
}
BEARABLE: dict[str, bytes] = {
    "plain": GOOD,
    "count that lies": GOOD.replace(b"/Count 1", b"/Count 9"),
    "contents twice": pdf({4: "[4 0 R 4 0 R]"}),
    "contents that are missing": pdf({3: PAGE.replace("4 0 R", "9 0 R")}),
    "stream of 64 MB": pdf({4: bomb(1)}),
    "stream in five layers": pdf({4: bomb(5)}),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_file_built_to_break_is_refused_in_time(
    name: str, faces: Faces, caplog: pytest.LogCaptureFixture
) -> None:
    """A sentence of ours, whatever the library makes of it, and no copy is seen in it."""
    began = time.process_time()
    with pytest.raises(Refused) as refusal:
        stamped(HOSTILE[name], COPY, faces)
    assert "IndirectObject" not in str(refusal.value)
    assert not caplog.records
    assert copy_of(HOSTILE[name]) is None
    assert time.process_time() - began < 5


@pytest.mark.parametrize("name", BEARABLE)
def test_an_odd_file_is_stamped_without_unpacking_it(name: str, faces: Faces) -> None:
    """What was drawn is not read, so that what it unpacks to does not matter."""
    began = time.process_time()
    made = stamped(BEARABLE[name], COPY, faces)
    assert copy_of(made) == ("Ana", "")
    assert len(made) < len(BEARABLE[name]) + 200_000
    assert time.process_time() - began < 5
