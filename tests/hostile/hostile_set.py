"""The hostile set: every class of hostile or awkward drawing, each case with what must become of it."""

from __future__ import annotations

import gzip
import zlib

from tests.hostile.hostile_cases import (
    KEEP,
    Case,
    chained,
    doctype,
    doubled,
    encoded,
    nested,
    png,
    several,
    stacked,
    svg,
    uri,
    wrapped,
)

EXTERNAL = doctype('<!ENTITY x SYSTEM "file:///etc/hostname">')
XHTML = 'xmlns="http://www.w3.org/1999/xhtml"'
JPEG = encoded("RGB", "JPEG", 64)
SMALL = png(4, 4)

ENTITIES = several(
    "any",
    "",
    {
        "entity quadratic in attributes": lambda: svg('<g id="&a;"/>' * 400, head=doctype(f'<!ENTITY a "{"x" * 40000}">')),
        "entity public": lambda: svg("<text>&x;</text>", head=doctype('<!ENTITY x PUBLIC "a" "http://127.0.0.1:9/x">')),
        "entity parameter from outside": lambda: svg(head=doctype('<!ENTITY % x SYSTEM "http://127.0.0.1:9/x.dtd"> %x;')),
        "entity parameter inside": lambda: svg(
            "&k;", keep="", head=doctype(f"<!ENTITY % d '<!ENTITY k \"{KEEP.replace(chr(34), '&#39;')}\">'> %d;")
        ),
        "entity that is shapes": lambda: svg("&k;", keep="", head=doctype(f"<!ENTITY k '{KEEP}'>")),
        "entity of character references": lambda: svg(
            "&k;", keep="", head=doctype('<!ENTITY k \'&#60;rect x="30" y="30" width="40" height="40" fill="#00a651"/&#62;\'>')
        ),
        "entity in attributes": lambda: svg(
            '<rect x="30" y="30" width="40" height="40" fill="&k;"/>', keep="", head=doctype('<!ENTITY k "#00a651">')
        ),
        "entity namespaces of an editor": lambda: svg(
            '<g xmlns:i="&ns_ai;" i:layer="yes"/>', head=doctype('<!ENTITY ns_ai "http://ns.example.com/i/1.0/">')
        ),
        "entities many": lambda: svg(head=doctype("".join(f'<!ENTITY e{n} "{n}">' for n in range(20000)))),
        "entities chained": lambda: svg(
            "<desc>&e400;</desc>", head=doctype('<!ENTITY e0 "x">' + "".join(f'<!ENTITY e{n} "&e{n - 1};">' for n in range(1, 401)))
        ),
        "entity in cdata": lambda: svg("<desc><![CDATA[&x;]]></desc>", head=EXTERNAL),
        "entity by attribute default": lambda: svg(
            "<rect/>", head=doctype('<!ATTLIST rect width CDATA "9" height CDATA "9" fill CDATA "#246">')
        ),
        "entity notation": lambda: svg(head=doctype('<!NOTATION n SYSTEM "x"><!ENTITY e SYSTEM "file:///etc/hostname" NDATA n>')),
        "entity with brackets in quotes": lambda: svg("&k;", head=doctype('<!ENTITY k "]]>]>"><!-- ]> -->')),
        "doctype twice": lambda: svg(head="<!DOCTYPE svg><!DOCTYPE svg>"),
        "doctype open": lambda: b"<!DOCTYPE svg [" + b"<!ENTITY a 'b'>" * 50000,
        "doctype quotes": lambda: b"<!DOCTYPE svg [" + b'"' * 100001 + b"]>" + svg(),
        "doctype of comments": lambda: svg(head=doctype("<!--" + "-" * 100000)),
        "entity bomb in a nested drawing": lambda: nested(
            1,
            svg(
                "&c;",
                head=doctype('<!ENTITY a "' + "x" * 9999 + '"><!ENTITY b "' + "&a;" * 99 + '"><!ENTITY c "' + "&b;" * 99 + '">'),
            ),
        ),
    },
)

ENCODINGS = several(
    "any",
    "",
    {
        "utf-16 little": lambda: svg().decode().encode("utf-16"),
        "utf-16 big": lambda: b"\xfe\xff" + svg().decode().encode("utf-16-be"),
        "utf-16 without mark": lambda: svg(head='<?xml version="1.0" encoding="UTF-16"?>').decode().encode("utf-16-le"),
        "utf-16 odd length": lambda: svg().decode().encode("utf-16")[:-1],
        "utf-16 lone surrogate": lambda: svg("<desc>@</desc>").decode().encode("utf-16").replace(b"@\0", b"\0\xd8"),
        "utf-8 with mark": lambda: b"\xef\xbb\xbf" + svg(),
        "utf-8 with two marks": lambda: b"\xef\xbb\xbf\xef\xbb\xbf" + svg(),
        "utf-8 overlong": lambda: svg("<desc>\xc0\xaf</desc>").decode().encode("latin-1"),
        "utf-8 surrogates": lambda: svg("<desc>@</desc>").replace(b"@", b"\xed\xa0\x80"),
        "latin-1": lambda: svg("<desc>Blüte</desc>", head='<?xml version="1.0" encoding="ISO-8859-1"?>').decode().encode("latin-1"),
        "windows-1252": lambda: (
            svg("<desc>\x80</desc>", head='<?xml version="1.0" encoding="windows-1252"?>')
            .decode("utf-8")
            .encode("latin-1", "replace")
        ),
        "windows-1252 hole": lambda: svg("<desc>@</desc>", head='<?xml version="1.0" encoding="windows-1252"?>').replace(
            b"@", b"\x81"
        ),
        "declared utf-16 and is not": lambda: svg(head='<?xml version="1.0" encoding="UTF-16"?>'),
        "shift-jis": lambda: svg(head='<?xml version="1.0" encoding="Shift_JIS"?>'),
        "ebcdic": lambda: svg(head='<?xml version="1.0" encoding="cp500"?>').decode().encode("cp500"),
        "utf-32": lambda: svg().decode().encode("utf-32"),
        "nul at the end": lambda: svg() + b"\0",
        "nul within": lambda: svg().replace(b"<rect", b"<re\0ct"),
        "nul by reference": lambda: svg("<desc>&#0;</desc>"),
        "control characters": lambda: svg("<desc>\x01\x1b[2J</desc>"),
        "no characters of XML": lambda: svg("<desc>&#xFFFF;&#xD800;</desc>"),
        "xml 1.1": lambda: svg(head='<?xml version="1.1"?>'),
        "declaration late": lambda: b"\n\n <?xml version='1.0'?>" + svg(),
        "declaration open": lambda: b"<?xml version='1.0' " + b" " * 500000,
        "line ends of a Mac": lambda: svg().replace(b"><", b">\r<"),
    },
)

PACKED = gzip.compress(svg(), mtime=0)
ARCHIVES = (
    Case("plain under svgz", "drawn", "", svg, ".svgz"),
    Case("svgz under svg", "drawn", "", lambda: PACKED),
    *several(
        "any",
        "",
        {
            "svgz": lambda: PACKED,
            "svgz of two members": lambda: gzip.compress(svg()[:60], mtime=0) + gzip.compress(svg()[60:], mtime=0),
            "svgz with a name inside": lambda: PACKED[:3] + b"\x08" + PACKED[4:10] + b"../../x.svg\0" + PACKED[10:],
            "svgz bomb": lambda: gzip.compress(b"<svg>" + b" " * 300_000_000, mtime=0),
            "svgz bomb of members": lambda: gzip.compress(b" " * 9_000_000, mtime=0) * 40,
            "svgz bomb of markup": lambda: gzip.compress(svg("<g/>" * 4_000_000), mtime=0),
            "svgz thrice": lambda: gzip.compress(gzip.compress(PACKED, mtime=0), mtime=0),
            "svgz cut": lambda: PACKED[: len(PACKED) // 2],
            "svgz wrong sum": lambda: PACKED[:-8] + b"\1\2\3\4" + PACKED[-4:],
            "svgz wrong length": lambda: PACKED[:-4] + b"\1\2\3\4",
            "svgz with padding": lambda: PACKED + b"\0" * 512,
            "svgz with a tail": lambda: PACKED + b"tail",
            "svgz head only": lambda: b"\x1f\x8b",
            "svgz damaged": lambda: PACKED[:40] + b"\xff" * 20 + PACKED[60:],
            "svgz of a picture": lambda: gzip.compress(SMALL, mtime=0),
            "svgz empty": lambda: gzip.compress(b"", mtime=0),
            "zlib stream": lambda: zlib.compress(svg()),
            "svgz in utf-16": lambda: gzip.compress(svg().decode().encode("utf-16"), mtime=0),
        },
        ".svgz",
    ),
)

KINDS = several(
    "refused",
    "",
    {
        "empty": lambda: b"",
        "blanks": lambda: b" \n" * 5000,
        "one bracket": lambda: b"<",
        "png": lambda: SMALL,
        "jpeg": lambda: JPEG,
        "pdf": lambda: b"%PDF-1.7\n" + b"x" * 500,
        "postscript": lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n",
        "html": lambda: b"<html><body><svg></svg></body></html>",
        "html with doctype": lambda: b"<!DOCTYPE html><svg></svg>",
        "json": lambda: b'{"svg": true}',
        "zip": lambda: b"PK\x03\x04" + b"x" * 100,
        "program": lambda: b"\x7fELF" + b"\0" * 100,
        "other xml": lambda: b"<note><to/></note>",
        "other namespace": lambda: b'<svg xmlns="http://example.com/else"><rect width="9" height="9"/></svg>',
        "noise": lambda: bytes(n * 7919 % 251 for n in range(5000)),
        "zeros": lambda: b"\0" * 100000,
        "fifty megabytes": lambda: svg("<desc>" + "x" * 50_000_000 + "</desc>"),
        "two roots": lambda: svg() + svg(),
        "cut": lambda: svg()[:-12],
        "cut in a tag": lambda: svg()[:70],
        "tags crossed": lambda: svg("<g><text></g></text>"),
        "attribute twice": lambda: svg('<g id="a" id="b"/>'),
        "words after the end": lambda: svg() + b"and more",
        "one long tag": lambda: b"<" + b"a" * 15_000_000,
    },
)

DIALECTS = several(
    "drawn",
    "",
    {
        "prefixed": lambda: (
            b'<s:svg xmlns:s="http://www.w3.org/2000/svg" width="100" height="100"><s:rect x="30" y="30" width="40" height="40" fill="#00a651"/></s:svg>'
        ),
        "no namespace": f'<svg width="100" height="100">{KEEP}</svg>'.encode,
        "undeclared prefixes": lambda: svg('<a:b c:d="e"/>'),
        "style in cdata": lambda: svg(
            '<style><![CDATA[.k{fill:#00a651}]]></style><rect class="k" x="30" y="30" width="40" height="40"/>', keep=""
        ),
        "editor namespaces": lambda: svg(
            '<sodipodi:namedview xmlns:sodipodi="http://sodipodi.example/DTD" zoom="1"/><metadata><x/></metadata>'
        ),
        "comments and instructions": lambda: svg("<!-- a --><?php echo 1 ?><![CDATA[ ]]>"),
        "switch with web content": lambda: svg(
            f'<switch><foreignObject requiredExtensions="x"><p {XHTML}/></foreignObject><g>{KEEP}</g></switch>', keep=""
        ),
        "units in millimetres": lambda: svg(page='width="30mm" height="30mm" viewBox="0 0 100 100"'),
        "viewBox only": lambda: svg(page='viewBox="0 0 100 100"'),
        "no size": lambda: svg(page=""),
        "percent size": lambda: svg(page='width="100%" height="100%" viewBox="0 0 100 100"'),
        "nested viewports": lambda: svg(
            '<svg x="5" y="5" width="20" height="20" viewBox="0 0 1 1"><rect width="1" height="1"/></svg>'
        ),
        "ids twice": lambda: svg('<g id="a"/><g id="a"/><use href="#a"/>'),
        "ids odd": lambda: svg('<rect id="a b&quot;)(" width="9" height="9"/><use href="#a b&quot;)("/>'),
    },
)

TREES = several(
    "any",
    "",
    {
        "deep groups": lambda: wrapped("<g>", 190),
        "deep groups with opacity": lambda: wrapped('<g opacity="0.99">', 190),
        "deep groups with masks": lambda: svg(
            '<mask id="m"><rect width="100" height="100" fill="#fff"/></mask>' + '<g mask="url(#m)">' * 150 + KEEP + "</g>" * 150,
            keep="",
        ),
        "deep groups with clips": lambda: svg(
            '<clipPath id="m"><rect width="100" height="100"/></clipPath>' + '<g clip-path="url(#m)">' * 150 + KEEP + "</g>" * 150,
            keep="",
        ),
        "deep groups with filters": lambda: svg(
            '<filter id="m"><feOffset dx="0.01"/></filter>' + '<g filter="url(#m)">' * 150 + KEEP + "</g>" * 150, keep=""
        ),
        "deep groups with blending": lambda: wrapped('<g style="mix-blend-mode:multiply">', 150),
        "deeper groups": lambda: wrapped("<g>", 5000),
        "deepest groups": lambda: wrapped("<g>", 500_000),
        "deep viewports": lambda: wrapped("<svg>", 100).replace(b"</g>", b"</svg>"),
        "many elements": lambda: svg("<g/>" * 150_000),
        "many shapes": lambda: svg('<path d="M1 1h9v9z"/>' * 90_000),
        "many shapes with opacity": lambda: svg(
            '<g opacity=".5"><rect width="100" height="100"/><rect width="100" height="100"/></g>' * 3000
        ),
        "many clipped shapes": lambda: svg(
            '<clipPath id="c"><circle cx="50" cy="50" r="50"/></clipPath>'
            + '<rect width="100" height="100" clip-path="url(#c)"/>' * 2000
        ),
        "many masked shapes": lambda: svg(
            '<mask id="c"><circle cx="50" cy="50" r="50" fill="#fff"/></mask>'
            + '<rect width="100" height="100" mask="url(#c)"/>' * 2000
        ),
        "many gradients": lambda: svg(
            "".join(
                f'<linearGradient id="g{n}"><stop stop-color="red"/></linearGradient><rect width="100" height="100" fill="url(#g{n})"/>'
                for n in range(5000)
            )
        ),
        "gradient of many stops": lambda: svg(
            '<linearGradient id="g">'
            + "".join(f'<stop offset="{n / 1e5}" stop-color="#{n % 4096:03x}"/>' for n in range(100_000))
            + '</linearGradient><rect width="100" height="100" fill="url(#g)"/>'
        ),
        "many attributes": lambda: svg("<g " + " ".join(f'a{n}="1"' for n in range(900)) + "/>"),
        "too many attributes": lambda: svg("<g " + " ".join(f'a{n}="1"' for n in range(100_000)) + "/>"),
        "many namespaces": lambda: svg("<g " + " ".join(f'xmlns:n{n}="u:{n}"' for n in range(20000)) + "/>"),
        "long attribute": lambda: svg(f'<g id="{"x" * 9_000_000}"/>'),
        "long text": lambda: svg(f"<desc>{'x' * 9_000_000}</desc>"),
        "long path": lambda: svg('<path d="M0 0' + "L9 9L0 5" * 240_000 + '"/>'),
        "long path of arcs": lambda: svg('<path d="M0 0' + "A9 9 0 0 1 9 9A5 5 0 1 0 1 1" * 40_000 + '"/>'),
        "long path of curves": lambda: svg(
            '<path d="M0 0' + "C99 0 0 99 99 99S0 0 5 5" * 60_000 + '" stroke="#000" stroke-width="30"/>'
        ),
        "long polygon": lambda: svg('<polygon points="' + "0,0 99,50 0,99 " * 120_000 + '"/>'),
        "many subpaths": lambda: svg('<path d="' + "M0 0h99v99h-99z" * 90_000 + '" fill-rule="evenodd"/>'),
        "many commas": lambda: svg('<path d="M0 0' + "," * 500_000 + '"/>'),
        "digits": lambda: svg(f'<path d="M0 0L{"9" * 300_000} 1"/>'),
        "decimals": lambda: svg(f'<path d="M0 0L0.{"9" * 300_000} 9"/>'),
        "comments": lambda: svg("<!--" + "x" * 9_000_000 + "-->"),
        "many instructions": lambda: svg("<?a b?>" * 300_000),
    },
)

REFERENCES = several(
    "any",
    "",
    {
        "use bomb": lambda: svg(doubled(30, 9)),
        "use bomb by style": lambda: svg("<style>g{fill:red}</style>" + doubled(12, 10)),
        "use bomb just below": lambda: svg(doubled(6, 9)),
        "use bomb of filters": lambda: svg(
            '<filter id="f"><feGaussianBlur stdDeviation="3"/></filter>'
            + doubled(6, 5, '<rect width="90" height="90" filter="url(#f)"/>')
        ),
        "use bomb of text": lambda: svg(doubled(5, 9, "<text y='50'>abc def</text>")),
        "use bomb of pictures": lambda: svg(doubled(5, 9, f'<image width="90" height="90" href="{uri(JPEG, "image/jpeg")}"/>')),
        "use bomb of symbols": lambda: svg(
            '<symbol id="s0"><rect width="9" height="9"/></symbol>'
            + "".join(
                f'<symbol id="s{n}">' + f'<use href="#s{n - 1}" width="9" height="9"/>' * 9 + "</symbol>" for n in range(1, 20)
            )
            + '<use href="#s19"/>'
        ),
        "pattern bomb": lambda: svg(stacked("pattern", "fill", 12, 9)),
        "pattern in pattern": lambda: svg(stacked("pattern", "fill", 5, 2, 'width="3" height="3" patternUnits="userSpaceOnUse"')),
        "pattern of tiny tiles": lambda: svg(
            '<pattern id="p" width="0.001" height="0.001" patternUnits="userSpaceOnUse"><rect width="1" height="1" fill="red"/></pattern><rect width="100" height="100" fill="url(#p)"/>'
        ),
        "pattern of a huge tile": lambda: svg(
            '<pattern id="p" width="100000" height="100000" patternUnits="userSpaceOnUse"><rect width="99999" height="99999" fill="red"/></pattern><rect width="100" height="100" fill="url(#p)"/>'
        ),
        "pattern scaled up": lambda: svg(
            '<pattern id="p" width="10" height="10" patternTransform="scale(10000)" patternUnits="userSpaceOnUse"><circle r="9" fill="red"/></pattern><rect width="100" height="100" fill="url(#p)"/>'
        ),
        "pattern without size": lambda: svg(
            '<pattern id="p" width="0" height="10"><circle r="9"/></pattern><rect width="100" height="100" fill="url(#p)"/>'
        ),
        "patterns many": lambda: svg(
            '<pattern id="p" width="2" height="2" patternUnits="userSpaceOnUse"><rect width="1" height="1"/></pattern>'
            + '<rect width="100" height="100" fill="url(#p)"/>' * 500
        ),
        "mask bomb": lambda: svg(stacked("mask", "mask", 12, 9)),
        "mask chain": lambda: svg(
            chained(
                "mask",
                '<rect width="99" height="99" fill="#fff" mask="url(#c{next})"/>',
                45,
                '<rect width="90" height="90" mask="url(#c0)"/>',
            )
        ),
        "mask chain too long": lambda: svg(
            chained(
                "mask",
                '<rect width="99" height="99" fill="#fff" mask="url(#c{next})"/>',
                200,
                '<rect width="90" height="90" mask="url(#c0)"/>',
            )
        ),
        "clip bomb": lambda: svg(stacked("clipPath", "clip-path", 12, 9)),
        "clip chain": lambda: svg(
            chained(
                "clipPath",
                '<rect width="99" height="99" clip-path="url(#c{next})"/>',
                45,
                '<rect width="90" height="90" clip-path="url(#c0)"/>',
            )
        ),
        "marker bomb": lambda: svg(
            '<marker id="m0"><rect width="1" height="1"/></marker>'
            + "".join(f'<marker id="m{n}"><path d="M0 0{"L1 1" * 30}" marker-mid="url(#m{n - 1})"/></marker>' for n in range(1, 8))
            + '<path d="M0 0L9 9" marker-end="url(#m7)"/>'
        ),
        "markers many": lambda: svg(
            '<marker id="m"><circle r="3"/></marker><path marker-mid="url(#m)" d="M0 0' + "L99 9L1 50" * 20000 + '"/>'
        ),
        "markers inherited": lambda: svg(
            '<marker id="m"><circle r="3"/></marker><g marker-mid="url(#m)">'
            + ('<path d="M0 0' + "L99 9L1 50" * 500 + '"/>') * 200
            + "</g>"
        ),
        "filter pictures": lambda: svg(
            '<filter id="f"><feImage href="#a"/></filter><filter id="g"><feImage href="#b"/></filter><rect id="a" width="9" height="9" filter="url(#g)"/><rect id="b" width="9" height="9" filter="url(#f)"/>'
        ),
        "gradient circle": lambda: svg(
            '<linearGradient id="a" href="#b"/><linearGradient id="b" href="#a"/><rect width="9" height="9" fill="url(#a)"/>'
        ),
        "gradient chain": lambda: svg(
            chained("linearGradient", '<stop stop-color="red"/>', 1, "")
            + "".join(f'<linearGradient id="d{n}" href="#d{n + 1}"/>' for n in range(3000))
            + '<rect width="9" height="9" fill="url(#d0)"/>'
        ),
        "use of an ancestor": lambda: svg('<g id="a"><g><g><use href="#a"/></g></g></g>'),
        "use of the root": lambda: svg('<use href="#r"/>', page='id="r" width="100" height="100"'),
        "use circle of three": lambda: svg(
            '<g id="a"><use href="#b"/></g><g id="b"><use href="#c"/></g><g id="c"><use href="#a"/></g>'
        ),
        "use of a clip": lambda: svg(
            '<clipPath id="c"><use href="#u"/></clipPath><g id="u"><rect width="9" height="9" clip-path="url(#c)"/></g>'
        ),
        "mask by itself through use": lambda: svg(
            '<mask id="m"><use href="#u"/></mask><g id="u"><rect width="9" height="9" mask="url(#m)"/></g>'
        ),
        "pattern by itself through use": lambda: svg(
            '<pattern id="m" width="9" height="9"><use href="#u"/></pattern><rect id="u" width="9" height="9" fill="url(#m)"/>'
        ),
        "text path of itself": lambda: svg('<text id="t"><textPath href="#t">abc</textPath></text>'),
        "marker by inheritance": lambda: svg(
            '<g marker-start="url(#m)"><marker id="m"><path d="M0 0L1 1"/></marker><path d="M5 5L9 9"/></g>'
        ),
        "paint by inheritance": lambda: svg(
            '<g fill="url(#p)"><pattern id="p" width="9" height="9"><rect width="5" height="5"/></pattern><rect width="50" height="50"/></g>'
        ),
        "mask on the root": lambda: svg(
            '<mask id="m"><rect width="100" height="100" fill="#fff"/></mask>', page='width="100" height="100" mask="url(#m)"'
        ),
        "use of what is missing": lambda: svg('<use href="#none"/>'),
        "clip that is missing": lambda: svg('<rect width="9" height="9" clip-path="url(#none)"/>'),
        "filter that is missing": lambda: svg('<rect width="9" height="9" filter="url(#none)"/>'),
        "mask of another kind": lambda: svg('<rect id="r" width="9" height="9"/><rect width="9" height="9" mask="url(#r)"/>'),
        "use chain": lambda: svg("".join(f'<g id="c{n}"><use href="#c{n + 1}"/></g>' for n in range(3000)) + '<g id="c3000"/>'),
    },
)

BASICS: tuple[Case, ...] = (*ENTITIES, *ENCODINGS, *ARCHIVES, *KINDS, *DIALECTS, *TREES, *REFERENCES)
