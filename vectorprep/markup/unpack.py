"""Bytes of a file to its text: what kind of content it is, one layer of gzip, the encoding.

Comes in: the bytes of one file, whatever they are.
Goes out: text that begins with markup, and the encoding it was written in; or `ArtworkRefused` that names what it is instead.
Never done here: XML.
"""

from __future__ import annotations

import re
import zlib

from vectorprep.errors import ArtworkRefused

MAX_BYTES = 20_000_000  # house value; largest of 8,121 clip-art files is 1.7 MB

_ENCODINGS = {
    "utf-8": "utf-8",
    "utf8": "utf-8",
    "us-ascii": "utf-8",
    "ascii": "utf-8",
    "iso-8859-1": "latin-1",
    "iso8859-1": "latin-1",
    "iso_8859-1": "latin-1",
    "latin1": "latin-1",
    "latin-1": "latin-1",
    "windows-1252": "cp1252",
    "cp1252": "cp1252",
    "utf-16": "utf-8",
    "utf16": "utf-8",
    "utf-16le": "utf-8",
    "utf-16be": "utf-8",
}
"""Encoding to read declared ones in. Bytes that begin like ASCII are not UTF-16, whatever the declaration says."""

# First bytes of other file types (their own format descriptions), and how a person calls them.
_MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"II*\x00", "a TIFF picture"),
    (b"MM\x00*", "a TIFF picture"),
    (b"8BPS", "a layered pixel picture (PSD)"),
    (b"%PDF", "a PDF document"),
    (b"%!PS", "a PostScript or EPS document"),
    (b"\xc5\xd0\xd3\xc6", "an EPS document"),
    (b"PK\x03\x04", "a ZIP archive"),
    (b"PK\x05\x06", "a ZIP archive"),
    (b"Rar!", "a RAR archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"BZh", "a bzip2 archive"),
    (b"\xfd7zXZ", "an xz archive"),
    (b"\x28\xb5\x2f\xfd", "a zstd archive"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
    (b"\xd7\xcd\xc6\x9a", "a WMF drawing"),
    (b"\x00\x00\x01\x00", "an icon file (ICO)"),
    (b"\x00\x01\x00\x00", "a font file"),
    (b"OTTO", "a font file"),
    (b"wOFF", "a font file"),
    (b"wOF2", "a font file"),
)

_DECLARED = re.compile(rb"<\?xml\s[^>]*?encoding\s*=\s*[\"']([A-Za-z0-9._:-]+)[\"']")
_DECLARATION = re.compile(r"<\?xml\s[^>]*\?>\s*")


def text_of(data: bytes) -> tuple[str, str]:
    """Text of a file without XML declaration and leading blanks, and the encoding it was written in.

    Raises:
        ArtworkRefused: empty, too big, of another kind, damaged, or in an encoding that is not supported.
    """
    plain = _unzipped(_sized(data))
    encoding = _encoding_of(plain)
    try:
        text = plain.decode(encoding)
    except UnicodeDecodeError as error:
        raise ArtworkRefused(
            f"byte {error.start} cannot be read as {encoding}: {error.reason}",
            fix="save the drawing as UTF-8, or declare the encoding it is written in",
            code="encoding-broken",
        ) from error
    text = _DECLARATION.sub("", text.lstrip("\ufeff \t\r\n"), count=1).lstrip()
    _check_kind(text)
    return text, encoding


def not_svg(kind: str) -> ArtworkRefused:
    """The refusal of content that is something else."""
    return ArtworkRefused(
        f"the content is {kind}, not SVG, whatever the name says", fix="export the drawing as SVG", code="not-svg"
    )


def _sized(data: bytes) -> bytes:
    if not data.strip():
        raise ArtworkRefused("the file is empty", fix="export the drawing again", code="file-empty")
    if len(data) > MAX_BYTES:
        raise ArtworkRefused(
            f"the file has {len(data)} bytes, more than the limit of {MAX_BYTES}",
            fix="simplify the drawing or scale its embedded pictures down",
            code="file-too-big",
        )
    for magic, kind in _MAGIC:
        if data.startswith(magic):
            raise not_svg(kind)
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        raise not_svg("a WebP picture")
    return data


def _unzipped(data: bytes) -> bytes:
    """One layer of gzip taken off, with its length bounded and its check sum compared (zlib does the latter)."""
    if not data.startswith(b"\x1f\x8b"):
        return data
    unpacker = zlib.decompressobj(wbits=31)
    try:
        plain = unpacker.decompress(data, MAX_BYTES + 1)
    except zlib.error as error:
        raise _damaged(f"is damaged: {error}") from error
    if len(plain) > MAX_BYTES:
        raise ArtworkRefused(
            f"the compressed file (svgz) unpacks to more than the limit of {MAX_BYTES} bytes",
            fix="save the drawing uncompressed and simplify it",
            code="gzip-too-big",
        )
    if not unpacker.eof:
        raise _damaged(f"breaks off after {len(plain)} unpacked bytes")
    if unpacker.unused_data.strip(b"\x00"):
        raise _damaged(f"is followed by {len(unpacker.unused_data)} other bytes")
    if plain.startswith(b"\x1f\x8b"):
        raise ArtworkRefused("the file is compressed more than once", fix="unpack it once and try again", code="gzip-nested")
    return _sized(plain)


def _damaged(how: str) -> ArtworkRefused:
    return ArtworkRefused(f"the compressed file (svgz) {how}", fix="export or copy the file again", code="gzip-broken")


def _encoding_of(data: bytes) -> str:
    if data.startswith((b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff", b"<\x00\x00\x00", b"\x00\x00\x00<")):
        raise _bad_encoding("UTF-32")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    if data.startswith(b"\xef\xbb\xbf"):
        return "utf-8"
    if data.startswith((b"<\x00", b" \x00", b"\n\x00", b"\r\x00")):
        return "utf-16-le"
    if data.startswith((b"\x00<", b"\x00 ", b"\x00\n", b"\x00\r")):
        return "utf-16-be"
    match = _DECLARED.search(data[:512])
    name = match.group(1).decode("ascii").lower() if match else "utf-8"
    if name not in _ENCODINGS:
        raise _bad_encoding(name)
    return _ENCODINGS[name]


def _bad_encoding(name: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"the encoding {name} is not one of UTF-8, UTF-16, ISO-8859-1, Windows-1252",
        fix="save the drawing as UTF-8",
        code="encoding-not-supported",
    )


def _check_kind(text: str) -> None:
    head = text[:200].lower()
    if head.startswith(("<!doctype html", "<html")):
        raise not_svg("an HTML page")
    if head.startswith(("{", "[")):
        raise not_svg("JSON or other program data")
    if not head.startswith("<"):
        raise not_svg("text without markup" if head.isprintable() else "no text")
